"""
How the times of a logger file are written: the order of its dates, and 12 or 24 hours.

The dates of the whole head are looked at together. Where several orders fit, the header may
say which; else the steps over midnight may: in one order the next reading comes an interval
later, in the others a month. Otherwise the person is asked.
"""

from collections import Counter
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import date
from itertools import pairwise

from thawline.base.errors import ExchangeError
from thawline.exchange.dates import (
    SHOWN,
    DateOrder,
    WrittenDate,
    fitting_orders,
    readings,
    settle,
    shown_order,
)
from thawline.exchange.loggers.cells import (
    Moment,
    moment_in,
    ms_of_day,
    says_half,
    time_in,
    without_weekday,
)
from thawline.exchange.loggers.lines import Row
from thawline.exchange.loggers.said import Said

_DAY_MS = 86_400_000
_NOON = 12
_REGULAR = 1.5  # times the interval: what is longer is a gap; coldchain check values, 7.1
_MS_AN_HOUR = 3_600_000


@dataclass(frozen=True, slots=True)
class Timed:
    """The time of one row as it is written, and its line."""

    line: int
    moment: Moment


@dataclass(frozen=True, slots=True)
class Dated:
    """The order of a file's dates, and the words and evidence for it."""

    order: DateOrder
    shown: str


def moment_of(cells: Sequence[str], columns: Sequence[int]) -> Moment | None:
    """Return the time in a row's one or two time cells as written; None when there is none."""
    if len(cells) <= max(columns):
        return None
    if len(columns) == 1:
        return moment_in(cells[columns[0]])
    day, at = without_weekday(cells[columns[0]]), time_in(cells[columns[1]])
    midnight = moment_in(day)
    return Moment(midnight.day if midnight else day, at.time, at.offset) if at and day else None


def timed_rows(rows: Iterable[Row], columns: Sequence[int]) -> list[Timed]:
    """Return the times of the rows that have one."""
    found = ((row.line, moment_of(row.cells, columns)) for row in rows)
    return [Timed(line, moment) for line, moment in found if moment]


def settled_order(
    times: Sequence[Timed], asked: DateOrder | None, stated: Said[DateOrder] | None
) -> Dated:
    """
    Return the order in which a file's dates are read.

    Raises:
        ExchangeError: It cannot be told, or a date does not exist in the order asked for.
    """
    cells = list(
        {t.moment.day: WrittenDate(t.line, t.moment.day) for t in reversed(times)}.values()
    )
    cells.reverse()
    fitting = fitting_orders(cell.text for cell in cells)
    if asked is not None:
        _check_asked(asked, fitting, cells)
        return Dated(asked, f"{SHOWN[asked]} (asked)")
    if _all_agree(cells, fitting):
        return _plain(cells, fitting)
    if stated is not None and stated.value in fitting:
        return Dated(stated.value, f"{SHOWN[stated.value]} ({stated.shown()})")
    if by_steps := _by_steps(times, fitting):
        return by_steps
    order = settle(cells, None)
    return Dated(order, shown_order(cells, order))


def settled_clock(times: Sequence[Timed], asked: str | None, *, twenty_four: bool) -> bool:
    """
    Return whether a file's times have AM and PM.

    Args:
        times: In the order of the file.
        asked: "12" or "24"; None where the person did not say.
        twenty_four: The header, or the form of the dates, says that the clock has 24 hours.

    Raises:
        ExchangeError: It cannot be told, or is not as asked.
    """
    with_half = next((t for t in times if says_half(t.moment.time)), None)
    if with_half is not None:
        if asked == "24":
            raise ExchangeError(
                f"--clock 24 was given, but line {with_half.line} has "
                f"{with_half.moment.time!r}",
                advice="leave out --clock",
            )
        return True
    if asked == "12":
        raise ExchangeError(
            "--clock 12 was given, but no time in the file says AM or PM",
            advice="export it again with AM and PM, or with 24-hour times",
        )
    hours = [int(t.moment.time[:2].strip(":.hH ")) for t in times]
    if asked == "24" or any(hour == 0 or hour > _NOON for hour in hours):
        return False
    _check_noon(times)
    if not twenty_four and not any(t.moment.time[0] == "0" for t in times):
        raise ExchangeError(
            f"line {times[0].line}: {times[0].moment.time!r} could be before or after noon, "
            "and no other time in the file tells",
            advice="say --clock 24 if these are 24-hour times; else export it with AM and PM",
        )
    return False


def is_iso(times: Sequence[Timed]) -> bool:
    """Say whether every date begins with a year of four digits, as in ISO 8601."""
    return all(t.moment.day[:4].isdecimal() and len(t.moment.day) > 4 for t in times)  # noqa: PLR2004


def _check_asked(
    asked: DateOrder, fitting: Sequence[DateOrder], cells: Sequence[WrittenDate]
) -> None:
    if asked in fitting:
        return
    wrong = next(
        cell for cell in cells if (meant := readings(cell.text)) and asked not in meant
    )
    raise ExchangeError(
        f"--date-order {asked} was given, but line {wrong.line}: {wrong.text!r} is no "
        f"{SHOWN[asked]} date",
        advice="leave out --date-order, or look at that line",
    )


def _all_agree(cells: Sequence[WrittenDate], fitting: Sequence[DateOrder]) -> bool:
    if not fitting:
        return False
    return all(
        len({meant[order] for order in fitting}) == 1
        for cell in cells
        if (meant := readings(cell.text))
    )


def _plain(cells: Sequence[WrittenDate], fitting: Sequence[DateOrder]) -> Dated:
    if len(fitting) == 1:
        return Dated(fitting[0], shown_order(cells, fitting[0]))
    if any(letter.isalpha() for letter in cells[0].text):
        return Dated(fitting[0], "months written out")
    is_year_first = cells[0].text[:4].isdecimal()
    order = DateOrder.YMD if is_year_first else fitting[0]
    return Dated(order, SHOWN[order])


@dataclass(frozen=True, slots=True)
class _Midnight:
    """Two rows with different dates after each other."""

    before: Timed
    after: Timed
    step_of_day_ms: int  # of the times of day alone


def _by_steps(times: Sequence[Timed], fitting: Sequence[DateOrder]) -> Dated | None:
    """Return the one order in which readings go on over midnight as on every day."""
    of_day = {t.moment.time: _either_dial(t.moment.time) for t in times}
    steps: Counter[int] = Counter()
    nights = []
    for one, other in pairwise(times):
        start, end = of_day[one.moment.time], of_day[other.moment.time]
        if start is None or end is None:
            continue
        if one.moment.day == other.moment.day:
            steps[abs(end - start)] += 1
        else:
            nights.append(_Midnight(one, other, end - start))
    steps.pop(0, None)
    if not steps:
        return None
    usual = steps.most_common(1)[0][0]
    kept = {order: night for order in fitting if (night := _regular(nights, order, usual))}
    if len(kept) != 1:
        return None
    [(order, night)] = kept.items()
    before, after = night.before, night.after
    return Dated(
        order,
        f"{SHOWN[order]} (lines {before.line} and {after.line}: {before.moment.day} "
        f"{before.moment.time} and {after.moment.day} {after.moment.time} follow each other)",
    )


def _regular(nights: Sequence[_Midnight], order: DateOrder, usual: int) -> _Midnight | None:
    """Return a midnight that is one usual step long in an order; None without one."""
    for night in nights:
        one, other = _day(night.before, order), _day(night.after, order)
        if one and other:
            step = (other - one).days * _DAY_MS + night.step_of_day_ms
            if 0 < abs(step) <= usual * _REGULAR:
                return night
    return None


def _day(timed: Timed, order: DateOrder) -> date | None:
    return readings(timed.moment.day).get(order)


def _either_dial(text: str) -> int | None:
    return ms_of_day(text, twelve_hours=says_half(text))


def _check_noon(times: Sequence[Timed]) -> None:
    """
    Look whether times without AM and PM run from twelve back to one on the same day.

    Raises:
        ExchangeError: They do: the clock has 12 hours, and half of them are missing.
    """
    for one, other in pairwise(times):
        start, end = _either_dial(one.moment.time), _either_dial(other.moment.time)
        if one.moment.day != other.moment.day or start is None or end is None:
            continue
        if start // _MS_AN_HOUR == _NOON and end // _MS_AN_HOUR == 1:
            raise ExchangeError(
                f"lines {one.line} and {other.line}: from {one.moment.time!r} to "
                f"{other.moment.time!r} on one day, without AM or PM",
                advice="export it again with AM and PM, or with 24-hour times; "
                "say --clock 24 if the clock was set back then",
            )
