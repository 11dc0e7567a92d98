"""
Dates as files write them, and the one order of day, month and year that a file is read in.

A date may be readable in several orders. All dates of a file are looked at together: the
orders under which every one of them exists are kept, and if those disagree about any date the
person is asked. Text that is no date in any order says nothing about the others.
"""

import re
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from datetime import date
from enum import StrEnum

from thawline.base.errors import ExchangeError
from thawline.exchange.columns import folded


class DateOrder(StrEnum):
    """The order in which day, month and year stand; the values are the words of the option."""

    DMY = "dmy"
    MDY = "mdy"
    YMD = "ymd"


SHOWN = {
    DateOrder.DMY: "day-month-year",
    DateOrder.MDY: "month-day-year",
    DateOrder.YMD: "year-month-day",
}

_YEARS = range(1900, 2200)  # in which a birth or a booking can lie
_CENTURY = 2000  # of a two-digit year; a birth date with one is not taken (decision 0041)
_NUMBERS = re.compile(r"(\d{1,4})([-/.])(\d{1,2})\2(\d{1,4})\.?", re.ASCII)
_RUN = re.compile(r"\d{8}", re.ASCII)
_MONTHS = {
    name: number
    for number, names in enumerate(
        (
            "jan january ene enero",
            "feb february febrero",
            "mar march marzo",
            "apr april abr abril",
            "may mayo",
            "jun june junio",
            "jul july julio",
            "aug august ago agosto",
            "sep sept september septiembre setiembre",
            "oct october octubre",
            "nov november noviembre",
            "dec december dic diciembre",
        ),
        1,
    )
    for name in names.split()
}
_BESIDE = frozenset(
    (
        *("de", "del", "of", "the", "st", "nd", "rd", "th"),
        *("mon", "tue", "wed", "thu", "fri", "sat", "sun"),
        *("monday", "tuesday", "wednesday", "thursday", "friday", "saturday", "sunday"),
        *("lunes", "martes", "miercoles", "jueves", "viernes", "sabado", "domingo"),
    )
)

Readings = Mapping[DateOrder, date]
"""What a text means in each order in which it is a date; empty when it is none."""


@dataclass(frozen=True, slots=True)
class WrittenDate:
    """A cell that should hold a date, and the line it stands on."""

    line: int
    text: str


def readings(text: str) -> Readings:
    """Return the meanings of a written date, one for each order in which it exists."""
    if match := _NUMBERS.fullmatch(text):
        return _of_numbers((match[1], match[3], match[4]))
    if _RUN.fullmatch(text):
        forms = {
            DateOrder.YMD: (text[:4], text[4:6], text[6:]),
            DateOrder.DMY: (text[4:], text[2:4], text[:2]),
            DateOrder.MDY: (text[4:], text[:2], text[2:4]),
        }
        return _existing(forms)
    return _of_words(text)


def has_short_year(text: str) -> bool:
    """Say whether the date is written with a year of two digits."""
    return not re.search(r"\d{4}", text, re.ASCII)


def settle(cells: Sequence[WrittenDate], asked: DateOrder | None) -> DateOrder:
    """
    Return the order in which a file's dates are read.

    Raises:
        ExchangeError: Two orders would give different dates, or no order fits all of them.
    """
    if asked is not None:
        return asked
    found = [(cell, meant) for cell in cells if (meant := readings(cell.text))]
    fitting = fitting_orders([cell.text for cell in cells])
    if not fitting:
        raise _contradiction(found)
    for cell, meant in found:
        if len({meant[order] for order in fitting}) > 1:
            raise _ambiguous(cell, meant, fitting)
    return fitting[0] if found else DateOrder.YMD


def fitting_orders(texts: Iterable[str]) -> tuple[DateOrder, ...]:
    """Return the orders in which every text exists that is a date in any; all without one."""
    found = [meant for text in texts if (meant := readings(text))]
    return tuple(order for order in DateOrder if all(order in meant for meant in found))


def shown_order(cells: Iterable[WrittenDate], order: DateOrder) -> str:
    """Return the order in words, with the first date that can only be read that way."""
    for cell in cells:
        meant = readings(cell.text)
        if set(meant) == {order}:
            return f"{SHOWN[order]} (line {cell.line}: {cell.text})"
    return SHOWN[order]


def _of_numbers(parts: tuple[str, str, str]) -> Readings:
    first, middle, last = parts
    long_first, long_last = len(first) > 2, len(last) > 2  # noqa: PLR2004  digits of a day
    forms = {}
    if not long_first:
        forms[DateOrder.DMY] = (last, middle, first)
        forms[DateOrder.MDY] = (last, first, middle)
    if not long_last:
        forms[DateOrder.YMD] = (first, middle, last)
    meant = _existing(forms)
    if long_first and DateOrder.YMD in meant:
        return dict.fromkeys(DateOrder, meant[DateOrder.YMD])
    return meant


def _of_words(text: str) -> Readings:
    """Return the meaning of "3 Feb 2026" or "3 de febrero de 2026": the same in each order."""
    words = re.findall(r"[^\W\d_]+|\d+", folded(text))
    months = [_MONTHS[word] for word in words if word in _MONTHS]
    numbers = [word for word in words if word.isdecimal()]
    strange = [w for w in words if not (w in _MONTHS or w in _BESIDE or w.isdecimal())]
    if strange or len(months) != 1 or len(numbers) != 2:  # noqa: PLR2004  a day and a year
        return {}
    day, year = numbers if len(numbers[0]) <= 2 else reversed(numbers)  # noqa: PLR2004
    meant = _date(year, str(months[0]), day)
    return {} if meant is None else dict.fromkeys(DateOrder, meant)


def _existing(forms: Mapping[DateOrder, tuple[str, str, str]]) -> Readings:
    meant = {order: _date(*parts) for order, parts in forms.items()}
    return {order: day for order, day in meant.items() if day is not None}


def _date(year: str, month: str, day: str) -> date | None:
    if len(year) not in (2, 4) or len(day) > 2:  # noqa: PLR2004  digits
        return None
    whole = int(year) if len(year) > 2 else _CENTURY + int(year)  # noqa: PLR2004
    if whole not in _YEARS:
        return None
    try:
        return date(whole, int(month), int(day))
    except ValueError:
        return None


def _ambiguous(
    cell: WrittenDate, meant: Readings, fitting: Sequence[DateOrder]
) -> ExchangeError:
    ways = " or ".join(f"{meant[order].isoformat()} ({order})" for order in fitting)
    return ExchangeError(
        f"line {cell.line}: {cell.text!r} could be {ways}, and no other date in the file tells",
        advice=f"say which, as in --date-order {fitting[0]}",
    )


def _contradiction(found: Sequence[tuple[WrittenDate, Readings]]) -> ExchangeError:
    first, meant = min(found, key=lambda pair: len(pair[1]))
    other = next(cell for cell, also in found if not meant.keys() & also.keys())
    return ExchangeError(
        f"line {first.line}: {first.text!r} and line {other.line}: {other.text!r} "
        "are not written in the same order",
        advice="correct one of them, or say --date-order dmy, mdy or ymd",
    )
