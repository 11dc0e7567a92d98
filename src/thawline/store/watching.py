"""
When is somebody called about a unit, and when is that over? From its readings alone.

A call is due once readings have been outside the band for as long as the protocol's delay, and
it is over once they have been inside by the dead-band for long enough. The order in which
readings arrive, and how often, changes nothing; what was raised is never taken back. None of
this delays the excursion, which is any single reading outside.
Worked through in docs/background/watching.md.
"""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from thawline.store.alarm_figures import AlarmFigures
from thawline.store.alerts import Alert, Cause
from thawline.store.readings import Readings

Flags = NDArray[np.bool_]
Places = NDArray[np.intp]


def alerts(
    seen: Readings,
    figures: AlarmFigures,
    now_ms: int,
    kept: Sequence[Alert] = (),
    began_ms: int | None = None,
) -> tuple[Alert, ...]:
    """
    Return every alert of a unit until now, in the order they were raised.

    Args:
        seen: All readings of the unit, in any order, the same ones perhaps twice; those
            stamped after now wait until their time has come.
        figures: What the unit is watched by.
        now_ms: The present; only a logger's silence depends on it.
        kept: Alerts raised before. They all come back, those that went on cleared or not;
            nothing is raised that an alert of the same cause covers.
        began_ms: Since when a logger is expected to send that has sent nothing yet.
    """
    record = _record(seen, figures, now_ms)
    found = [
        alert
        for cause in Cause
        for alert in _of_cause(cause, record, figures, [a for a in kept if a.cause is cause])
    ]
    if figures.silent_ms is not None:
        found += _silent_now(record, figures, now_ms, began_ms, found)
    return tuple(sorted(found, key=lambda alert: (alert.raised_ms, alert.since_ms)))


def late(seen: Readings, figures: AlarmFigures, kept: Sequence[Alert]) -> int:
    """
    Return how many readings outside the band came too late for a call.

    They are stamped before an alert of their cause was over, and outside of every alert: what
    they show is past, stays an excursion, and calls nobody.
    """
    temp_mc = seen.temp_mc.astype(np.int64)
    outside = {Cause.ABOVE: temp_mc > figures.high_mc, Cause.BELOW: temp_mc < figures.low_mc}
    return sum(
        int(np.count_nonzero(flags & _uncovered(seen, [a for a in kept if a.cause is cause])))
        for cause, flags in outside.items()
    )


def _uncovered(seen: Readings, of_cause: Sequence[Alert]) -> Flags:
    """Say which readings lie before the last end of these alerts and within none of them."""
    ends = [alert.cleared_ms for alert in of_cause if alert.cleared_ms is not None]
    found = seen.at_ms <= (max(ends) if ends else np.iinfo(np.int64).min)
    for alert in of_cause:
        end = alert.cleared_ms if alert.cleared_ms is not None else np.iinfo(np.int64).max
        found &= ~((seen.at_ms >= alert.since_ms) & (seen.at_ms <= end))
    return found


@dataclass(frozen=True, slots=True, eq=False)
class _Record:
    """
    The readings in the order of their instants, one row an instant; shapes (n,).

    `high_mc` and `low_mc` differ where readings of one instant do; then both count.
    `after_gap`: more time than a logger may be silent lies before the row.
    """

    at_ms: NDArray[np.int64]
    high_mc: NDArray[np.int64]
    low_mc: NDArray[np.int64]
    after_gap: Flags

    def first_after(self, at_ms: int) -> int:
        return int(np.searchsorted(self.at_ms, at_ms, side="right"))


def _record(seen: Readings, figures: AlarmFigures, now_ms: int) -> _Record:
    come = seen.at_ms <= now_ms
    at_ms, temp_mc = seen.at_ms[come], seen.temp_mc[come].astype(np.int64)
    order = np.argsort(at_ms, kind="stable")
    at_ms, temp_mc = at_ms[order], temp_mc[order]
    firsts = np.flatnonzero(np.diff(at_ms, prepend=at_ms[:1] - 1))
    if len(firsts):
        high, low = np.maximum.reduceat(temp_mc, firsts), np.minimum.reduceat(temp_mc, firsts)
    else:
        high = low = temp_mc
    return _Record(at_ms[firsts], high, low, _after_gap(at_ms[firsts], figures))


def _after_gap(at_ms: NDArray[np.int64], figures: AlarmFigures) -> Flags:
    found = np.zeros(len(at_ms), dtype=np.bool_)
    if figures.silent_ms is not None:
        found[1:] = np.diff(at_ms) > figures.silent_ms
    return found


@dataclass(frozen=True, slots=True, eq=False)
class _Signs:
    """Where a cause begins, where it would call, and where it could be over; row numbers."""

    starts: Places
    calm: Flags
    over: Places


def _of_cause(
    cause: Cause, record: _Record, figures: AlarmFigures, kept: Sequence[Alert]
) -> Iterator[Alert]:
    """Yield the kept alerts of one cause and what was raised after them."""
    signs = _signs(cause, record, figures)
    yield from kept[:-1]
    row = 0
    if kept:
        last = kept[-1]
        if last.cleared_ms is None:
            last = _ended(last, record, signs, record.first_after(last.raised_ms))
        yield last
        if last.cleared_ms is None:
            return
        row = record.first_after(last.cleared_ms)
    yield from _raised(cause, record, figures, signs, row)


def _raised(
    cause: Cause, record: _Record, figures: AlarmFigures, signs: _Signs, row: int
) -> Iterator[Alert]:
    while (start := _next(signs.starts, row)) is not None:
        if cause is Cause.SILENT:
            alert, row = _silence(record, figures, start), start
        else:
            called = _called(record, figures, signs, start)
            if called is None:
                return
            start, row = called
            temps = record.high_mc if cause is Cause.ABOVE else record.low_mc
            since, raised = int(record.at_ms[start]), int(record.at_ms[row])
            alert = Alert(cause, since, raised, int(temps[row]))
            row += 1
        alert = _ended(alert, record, signs, row)
        yield alert
        if alert.cleared_ms is None:
            return
        row = record.first_after(alert.cleared_ms)


def _called(
    record: _Record, figures: AlarmFigures, signs: _Signs, start: int
) -> tuple[int, int] | None:
    """
    Return the first reading outside and the one that calls; None while nobody is called.

    A reading inside by the dead-band before the delay has passed begins it anew; one that is
    only just inside does not, and calls nobody either.
    """
    calm = np.flatnonzero(signs.calm)
    while True:
        due = int(record.at_ms[start]) + figures.delay_ms
        call = _next(signs.starts, max(start, record.first_after(due - 1)))
        back = _next(calm, start)
        if call is not None and (back is None or call < back):
            return start, call
        again = None if back is None else _next(signs.starts, back)
        if again is None:
            return None
        start = again


def _silence(record: _Record, figures: AlarmFigures, row: int) -> Alert:
    """Return the alert of the time without readings that ended with this row."""
    assert figures.silent_ms is not None  # noqa: S101  there are gaps only where it is known
    last = int(record.at_ms[row - 1])
    return Alert(Cause.SILENT, last, last + figures.silent_ms, _worst(record, figures, row - 1))


def _silent_now(
    record: _Record,
    figures: AlarmFigures,
    now_ms: int,
    began_ms: int | None,
    found: Sequence[Alert],
) -> Iterator[Alert]:
    """Yield the alert of a logger from which too much time has passed until now."""
    if any(alert.cause is Cause.SILENT and alert.is_open for alert in found):
        return
    assert figures.silent_ms is not None  # noqa: S101  the caller looked
    last = int(record.at_ms[-1]) if len(record.at_ms) else began_ms
    if last is not None and now_ms - last > figures.silent_ms:
        temp = _worst(record, figures, -1) if len(record.at_ms) else None
        yield Alert(Cause.SILENT, last, last + figures.silent_ms, temp)


def _worst(record: _Record, figures: AlarmFigures, row: int) -> int:
    """Return the reading of a row; where there are two, the one outside the band."""
    low = int(record.low_mc[row])
    return int(record.high_mc[row]) if figures.inside(low) else low


def _ended(alert: Alert, record: _Record, signs: _Signs, row: int) -> Alert:
    over = _next(signs.over, row)
    return alert if over is None else replace(alert, cleared_ms=int(record.at_ms[over]))


def _signs(cause: Cause, record: _Record, figures: AlarmFigures) -> _Signs:
    if cause is Cause.SILENT:
        starts, calm = record.after_gap, np.ones(len(record.at_ms), dtype=np.bool_)
    elif cause is Cause.ABOVE:
        starts = record.high_mc > figures.high_mc
        calm = (record.high_mc <= figures.high_mc - figures.dead_band_mc) & (
            record.low_mc >= figures.low_mc
        )
    else:
        starts = record.low_mc < figures.low_mc
        calm = (record.low_mc >= figures.low_mc + figures.dead_band_mc) & (
            record.high_mc <= figures.high_mc
        )
    return _Signs(np.flatnonzero(starts), calm, _over(record, calm, figures.clears_ms))


def _over(record: _Record, calm: Flags, clears_ms: int) -> Places:
    """Return the rows at which it has been calm for long enough, over no gap."""
    begins = calm & record.after_gap
    begins[:1] |= calm[:1]
    begins[1:] |= calm[1:] & ~calm[:-1]
    rows = np.arange(len(calm))
    since = np.maximum.accumulate(np.where(begins, rows, 0)) if len(calm) else rows
    lasted = record.at_ms - record.at_ms[since]
    return np.flatnonzero(calm & (lasted >= clears_ms))


def _next(places: Places, row: int) -> int | None:
    """Return the first of the places at or after a row."""
    at = int(np.searchsorted(places, row))
    return int(places[at]) if at < len(places) else None
