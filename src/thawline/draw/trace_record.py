"""
The trace of a record that was looked at: its gaps, its excursions and the sentences under it.

The first sentence of a side is how long it was out, at least and at most; the picture never
says less than that.
"""

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import timedelta
from zoneinfo import ZoneInfo

import numpy as np

from thawline.base.durations import spoken
from thawline.base.instants import Instant, from_ms, to_ms
from thawline.draw.trace import Gap, Outside, Trace, spoken_degrees
from thawline.rules.cold import Side
from thawline.store.limits import Limits
from thawline.store.readings import Readings, readings
from thawline.store.tidy import Settled, Tidy, is_gap
from thawline.store.time_out import Exposure, Totals

_MC = 1_000
_MINUTE_MS = 60_000


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Shown:
    """
    How a record is to be shown.

    Args:
        title: The unit, the site.
        zone: Whose wall clock the axis has.
        limits: Of the unit's band.
        since: The left edge; None: the first reading.
        until: The right edge; None: the last reading.
        by_hand: What people read from the display.
        held: What is held because of it, in a sentence; empty: nothing is said.
        fahrenheit: Whether degrees Fahrenheit stand there too.
        demo: Whether it is a demo's.
    """

    title: str
    zone: ZoneInfo
    limits: Limits
    since: Instant | None = None
    until: Instant | None = None
    by_hand: Readings | None = None
    held: str = ""
    fahrenheit: bool = False
    demo: bool = False


def trace_of(tidy: Tidy, exposure: Exposure, shown: Shown) -> Trace:
    """Return the trace of a record that has at least one reading."""
    settled = tidy.settled
    first, last = from_ms(int(settled.at_ms[0])), from_ms(int(settled.at_ms[-1]))
    since, until = shown.since or first, shown.until or last
    return Trace(
        title=shown.title,
        zone=shown.zone,
        since=since,
        until=until if until > since else Instant(since + _LEAST),
        low_mc=shown.limits.low_mc,
        high_mc=shown.limits.high_mc,
        record=_both_ends(settled),
        gaps=(
            *(Gap(gap.from_ms, gap.to_ms) for gap in tidy.gaps),
            *_unread_ends(tidy, (since, first), (last, until)),
        ),
        outside=tuple(Outside(e.side, e.from_ms, e.to_ms) for e in exposure.excursions),
        by_hand=shown.by_hand,
        says=tuple(_says(tidy, exposure, shown)),
        fahrenheit=shown.fahrenheit,
        demo=shown.demo,
    )


def _unread_ends(tidy: Tidy, *ends: tuple[Instant, Instant]) -> Iterator[Gap]:
    """Yield what is shown before the first reading and after the last: it is not known."""
    for start, end in ends:
        length = to_ms(end) - to_ms(start)
        if length > 0 and is_gap(np.array([length]), tidy.interval_ms or 0).any():
            yield Gap(to_ms(start), to_ms(end))


_LEAST = timedelta(minutes=1)  # an axis of no length cannot be drawn


def _both_ends(settled: Settled) -> Readings:
    """Return what is drawn: where readings of an instant contradict each other, both."""
    differ = settled.coldest_mc != settled.warmest_mc
    if not differ.any():
        return readings(settled.at_ms, settled.warmest_mc)
    twice = np.repeat(np.arange(len(settled)), np.where(differ, 2, 1))
    again = np.append(False, twice[1:] == twice[:-1])
    temps = np.where(again, settled.warmest_mc[twice], settled.coldest_mc[twice])
    return readings(settled.at_ms[twice], temps)


def _says(tidy: Tidy, exposure: Exposure, shown: Shown) -> Iterator[str]:
    yield _time_out(tidy, exposure, shown)
    if unknown := _not_known(tidy, exposure):
        yield unknown
    last = from_ms(int(tidy.settled.at_ms[-1]))
    if shown.until is not None and any(_unread_ends(tidy, (last, shown.until))):
        yield "After the last reading nothing is known."
    if tidy.half_step_mc:
        yield "The display counts in coarse steps: a reading on a limit may be out."
    if shown.held:
        yield shown.held


def _time_out(tidy: Tidy, exposure: Exposure, shown: Shown) -> str:
    limits, settled = shown.limits, tidy.settled
    sides = [
        (Side.ABOVE, exposure.above, limits.high_mc),
        (Side.BELOW, exposure.below, limits.low_mc),
    ]
    told = [_side(*each) for each in sides if each[1].at_most_ms]
    if not told:
        told = ["No reading is out of band."]
    low, high = int(settled.coldest_mc.min()), int(settled.warmest_mc.max())
    seen = f"Lowest seen {spoken_degrees(low / _MC)}, highest {spoken_degrees(high / _MC)}."
    return " ".join([*told, seen])


def _side(side: Side, totals: Totals, limit_mc: int) -> str:
    most = f"at most {_length(-(-totals.at_most_ms // _MINUTE_MS) * _MINUTE_MS)}"
    start = f"Time {side} {spoken_degrees(limit_mc / _MC)}"
    if totals.at_least_ms:
        return f"{start}: at least {_length(totals.at_least_ms)}, {most}."
    seen = "seen, " if totals.conservative_ms else "perhaps none, "
    return f"{start}: {seen}{most}."


def _not_known(tidy: Tidy, exposure: Exposure) -> str:
    if not tidy.gaps:
        return ""
    gaps = "one gap" if len(tidy.gaps) == 1 else f"{len(tidy.gaps):,} gaps"
    return (
        f"Not known: {_length(exposure.unknown_ms)} in {gaps}; the line is not joined across."
    )


def _length(length_ms: int) -> str:
    return spoken(timedelta(milliseconds=length_ms))
