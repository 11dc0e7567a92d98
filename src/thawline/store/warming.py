"""
How long a warming freezer or refrigerator has until it leaves its band, said as a range.

"Inspect by" is the early end. One reading is never an answer, nor is one number; too little
to tell is said in words. The promise and the limits of the model: docs/background/warming.md.
"""

from dataclasses import dataclass, replace
from datetime import timedelta
from enum import StrEnum

import numpy as np

from thawline.base.errors import RecordError
from thawline.base.instants import Instant, from_ms, to_ms
from thawline.rules.cold import Side
from thawline.store.first_order import LAST, SHARE, Warmed, crossing, speeds_up, straight_on
from thawline.store.limits import Limits
from thawline.store.readings import Readings, readings
from thawline.store.stretch import Stretch, Way, last_stretch

__all__ = ["SHARE", "Left", "Verdict", "Warming", "WarmingQuestion", "hold_over", "warming"]

HORIZON = timedelta(hours=24)  # nothing is said about later; rooms and doors change (ours)
FEWEST = LAST  # readings in a stretch: three unknowns and something to tell the noise from
_LEAVE_OUT = 8  # a rise that is still getting faster loses this part of its beginning at a time
_MS_A_MINUTE = 60_000
_MC = 1_000


class Verdict(StrEnum):
    """What can be said about the time left."""

    OUT = "out"
    WARMING = "warming"
    COOLING = "cooling"
    STEADY = "steady"
    TOO_LITTLE = "too-little"


@dataclass(frozen=True, slots=True, kw_only=True)
class WarmingQuestion:
    """
    What a record is held against.

    Args:
        limits: Of the unit's band; both ends are inside.
        accuracy_mc: How far the logger may be off, either way.
        ambient_c: What is around the unit, degrees Celsius; None: nobody knows.
    """

    limits: Limits
    accuracy_mc: int = 0
    ambient_c: float | None = None


@dataclass(frozen=True, slots=True)
class Left:
    """
    When a limit is met, at the earliest and at the latest.

    `earliest` None: not within a day of the last reading; `latest` None: perhaps not either.
    """

    side: Side
    limit_mc: int
    earliest: Instant | None
    latest: Instant | None


@dataclass(frozen=True, slots=True)
class Warming:
    """
    What the last readings say about the time left.

    Args:
        verdict: What can be said.
        last: The last reading's instant.
        last_mc: What it saw.
        since: Where the stretch that was looked at begins.
        looked_at: Its readings.
        left: The limit ahead, where there is a range to say.
        out_after: The last reading in band before it left; None where none is known.
        out_from: The first reading out of band, where it is out.
        within_swing: It has not gone further than it swung before.
        why: Why there is too little to tell, in words; else empty.
    """

    verdict: Verdict
    last: Instant
    last_mc: int
    since: Instant
    looked_at: int
    left: Left | None = None
    out_after: Instant | None = None
    out_from: Instant | None = None
    within_swing: bool = False
    why: str = ""


def warming(record: Readings, asked: WarmingQuestion) -> Warming:
    """
    Return what the last readings say about the time left to each limit.

    Raises:
        RecordError: There is no reading.
    """
    ordered = _in_order(record, asked)
    stretch = last_stretch(ordered)
    seen = Warming(
        Verdict.STEADY,
        from_ms(int(ordered.at_ms[-1])),
        int(ordered.temp_mc[-1]),
        from_ms(int(stretch.readings.at_ms[0])),
        len(stretch.readings),
    )
    if not asked.limits.low_mc <= seen.last_mc <= asked.limits.high_mc:
        return _out(ordered, asked, seen)
    if stretch.way is Way.HOLDS:
        return _holds(seen)
    return _moves(stretch, asked, seen)


def hold_over(record: Readings, cut: Instant, asked: WarmingQuestion) -> Warming:
    """
    Return what the readings since a power cut say about the time left; nothing before counts.

    Raises:
        RecordError: No reading was taken at the cut or after it.
    """
    ordered = _in_order(record, asked)
    since = ordered.at_ms >= to_ms(cut)
    if not since.any():
        raise RecordError(
            "no reading since the power cut",
            advice="read the display from outside, doors shut, and record it",
        )
    return warming(readings(ordered.at_ms[since], ordered.temp_mc[since]), asked)


def _in_order(record: Readings, asked: WarmingQuestion) -> Readings:
    """Return the readings by time; of several at one instant the worst, furthest out."""
    if not len(record):
        raise RecordError("no readings", advice="give a file or a unit that has some")
    from_middle = np.abs(
        2 * record.temp_mc.astype(np.int64) - asked.limits.low_mc - asked.limits.high_mc
    )
    order = np.lexsort((from_middle, record.at_ms))
    times = record.at_ms[order]
    last = np.append(times[1:] != times[:-1], True)
    return readings(times[last], record.temp_mc[order][last])


def _out(record: Readings, asked: WarmingQuestion, seen: Warming) -> Warming:
    inside = (record.temp_mc >= asked.limits.low_mc) & (record.temp_mc <= asked.limits.high_mc)
    within = np.flatnonzero(inside)
    first = int(within[-1]) + 1 if len(within) else 0
    return replace(
        seen,
        verdict=Verdict.OUT,
        out_after=from_ms(int(record.at_ms[first - 1])) if first else None,
        out_from=from_ms(int(record.at_ms[first])),
    )


def _holds(seen: Warming) -> Warming:
    """Return that it holds, or that there are too few readings to say even that."""
    if seen.looked_at >= FEWEST:
        return seen
    why = f"{seen.looked_at} readings since the last gap, and {FEWEST} are needed"
    return replace(seen, verdict=Verdict.TOO_LITTLE, why=why)


def _moves(stretch: Stretch, asked: WarmingQuestion, seen: Warming) -> Warming:
    """Return what a stretch that rises or falls says about the limit ahead of it."""
    rises = stretch.way is Way.RISES
    beyond = _beyond_swing(stretch, seen.last_mc)
    seen = replace(
        seen, verdict=Verdict.WARMING if rises else Verdict.COOLING, within_swing=beyond <= 0
    )
    warmed, limit = _towards(stretch, asked)
    while len(warmed.minutes) >= FEWEST and speeds_up(warmed):
        part = max(1, len(warmed.minutes) // _LEAVE_OUT)
        warmed = _less_of_its_beginning(warmed, part)
    if len(warmed.minutes) < FEWEST:
        return _too_little(warmed, limit, asked, _why_few(stretch), seen)
    off = asked.accuracy_mc / _MC
    met = crossing(warmed, limit - off, limit + off)
    if met is None:
        why = "the readings do not fit anything that slowly takes on what is around it"
        return _too_little(warmed, limit, asked, why, seen)
    early = min(met.earliest, straight_on(warmed, limit - off))
    if beyond <= stretch.move_mc:  # there may be more than one rise in it: its end alone counts
        early = min(early, _at_fastest(_less_of_its_beginning(warmed, -LAST), limit - off))
    ends = _reached(seen, warmed, early, met.latest)
    return replace(seen, left=_left(stretch.way, asked, ends))


def _towards(stretch: Stretch, asked: WarmingQuestion) -> tuple[Warmed, float]:
    """Return the stretch, and the limit ahead of it; a fall is looked at upside down."""
    taken, way = stretch.readings, int(stretch.way)
    minutes = (taken.at_ms - taken.at_ms[0]) / _MS_A_MINUTE
    degrees = way * taken.temp_mc / _MC
    limit = way * (asked.limits.high_mc if way > 0 else asked.limits.low_mc) / _MC
    ambient = asked.ambient_c if stretch.way is Way.RISES else None
    return Warmed(minutes, degrees, stretch.step_mc / _MC, ambient), limit


def _less_of_its_beginning(warmed: Warmed, start: int) -> Warmed:
    return replace(warmed, minutes=warmed.minutes[start:], degrees=warmed.degrees[start:])


def _why_few(stretch: Stretch) -> str:
    count = len(stretch.readings)
    if count < FEWEST:
        one = "reading" if count == 1 else "readings"
        return f"{count} {one} since it turned, and {FEWEST} are needed"
    return "it is still getting faster"


def _too_little(
    warmed: Warmed, limit: float, asked: WarmingQuestion, why: str, seen: Warming
) -> Warming:
    """Return that nothing can be said, and where the fastest step so far would lead."""
    way = Way.RISES if seen.verdict is Verdict.WARMING else Way.FALLS
    early = _at_fastest(warmed, limit - asked.accuracy_mc / _MC)
    left = _left(way, asked, _reached(seen, warmed, early, np.inf))
    return replace(seen, verdict=Verdict.TOO_LITTLE, left=left, why=why)


def _at_fastest(warmed: Warmed, limit: float) -> float:
    """Return the minute at the limit at the steepest step between neighbours, rounded up."""
    gained = np.diff(warmed.degrees) + warmed.step
    a_minute = float((gained / np.diff(warmed.minutes)).max())
    return float(warmed.minutes[-1] + max(limit - warmed.degrees[-1], 0) / a_minute)


def _reached(
    seen: Warming, warmed: Warmed, early: float, late: float
) -> tuple[Instant | None, Instant | None]:
    """Return both ends as instants: whole minutes, outwards; None beyond the horizon."""
    last = warmed.minutes[-1]
    minute = timedelta(minutes=1)

    def at(minutes: float) -> Instant | None:
        ahead = minutes - last
        return None if ahead * minute > HORIZON else Instant(seen.last + ahead * minute)

    first, final = (at(each) if np.isfinite(each) else None for each in (early, late))
    return (
        None if first is None else max(_whole_minute(first), seen.last),
        None if final is None else Instant(_whole_minute(final) + minute),
    )


def _whole_minute(at: Instant) -> Instant:
    return from_ms(to_ms(at) // _MS_A_MINUTE * _MS_A_MINUTE)


def _left(
    way: Way, asked: WarmingQuestion, ends: tuple[Instant | None, Instant | None]
) -> Left:
    if way is Way.RISES:
        return Left(Side.ABOVE, asked.limits.high_mc, *ends)
    return Left(Side.BELOW, asked.limits.low_mc, *ends)


def _beyond_swing(stretch: Stretch, last_mc: int) -> float:
    """Return how much further it went than the record had before its last few readings."""
    way = int(stretch.way)
    before = np.append(stretch.before.temp_mc, stretch.readings.temp_mc[:-LAST])
    return float(way * last_mc - (way * before).max()) if len(before) else np.inf
