"""
One thing changed in a day that was, and what that does: the difference and its interval.

The days are the same but for the change, so the difference of each pair of days is known and
its mean has an interval of its own, far narrower than that of either.
"""

import math
from collections.abc import Mapping
from dataclasses import dataclass, replace
from datetime import timedelta

import numpy as np

from thawline.base.compiled import Values
from thawline.base.errors import RecordError
from thawline.plan.clinic_day import Vials
from thawline.plan.quantile_tables import Law
from thawline.plan.replay import STEP, ReplayDay, Replays
from thawline.plan.replay_kernel import (
    CAME,
    GIVEN,
    LAST_S,
    LATE,
    LEFT_OVER,
    OPENED_VIALS,
    PEAK,
    PEOPLE,
    WAIT_S,
    WAITS_S,
    WITHOUT,
)
from thawline.plan.service_times import Interval, errors_to_each_side

CHAIR, DRAW_TABLE = "chair", "draw table"
STATIONS = (CHAIR, DRAW_TABLE)

MEASURES: Mapping[str, int] = {
    "people": CAME,
    "mean_wait_s": WAIT_S,
    "over_promise": LATE,
    "doses_given": GIVEN,
    "without_dose": WITHOUT,
    "last_dose_s": LAST_S,
    "vials_opened": OPENED_VIALS,
    "doses_left": LEFT_OVER,
    "most_observed": PEAK,
}
"""What is compared, by the names of the JSON answer, and the kernel's columns."""


@dataclass(frozen=True, slots=True)
class Difference:
    """A figure as it was, as changed, and the difference; means over the played days."""

    before: float
    after: float
    by: Interval


def more_tables(day: ReplayDay, since: timedelta) -> ReplayDay:
    """Return the day with one draw table more from then on, to the end."""
    return more_people(day, DRAW_TABLE, 1, (since, None))


def more_people(
    day: ReplayDay, station: str, people: int, between: tuple[timedelta, timedelta | None]
) -> ReplayDay:
    """
    Return the day with more people at a station between two times, or fewer; None: to the end.

    Raises:
        RecordError: There is no such station, or nobody would be left there for good.
    """
    if station not in STATIONS:
        raise RecordError(f"no station {station!r}", advice=f"one of {', '.join(STATIONS)}")
    many = day.chairs if station == CHAIR else day.tables
    since, until = between
    last = len(many) if until is None else until // STEP
    changed = tuple(
        n + people if since // STEP <= step < last else n for step, n in enumerate(many)
    )
    if min(changed) < 0:
        short = changed.index(min(changed))
        raise RecordError(
            f"{-people} fewer at the {station}, where {many[short]} were",
            advice="take away as many as there are at the most",
        )
    if changed[-1] < 1:
        raise RecordError(
            f"nobody at the {station} at the end of the day",
            advice="end the change before the last people are served",
        )
    if station == CHAIR:
        return replace(day, chairs=changed)
    return replace(day, tables=changed)


def fewer_vials(day: ReplayDay, vials: int) -> ReplayDay:
    """
    Return the day with fewer vials thawed at the beginning; those brought last are missing.

    Raises:
        RecordError: There were not so many, or the record does not tell which there were.
    """
    if day.vials.ready is None:
        raise RecordError(
            "more doses were given that day than the vials on record hold",
            advice="ask about another day: which vials there were is not known",
        )
    there = [number for number, was in enumerate(day.thawed) if was]
    if not 0 <= vials <= len(there):
        raise RecordError(
            f"{vials} vials fewer, of {len(there)} thawed at the start of the day",
            advice=f"0 to {len(there)}",
        )
    missing = set(there[len(there) - vials :])
    kept = [number for number in range(len(day.thawed)) if number not in missing]
    ready = tuple(day.vials.ready[number] for number in kept)
    fewer = Vials(day.vials.doses, day.vials.life, ready)
    return replace(day, vials=fewer, thawed=tuple(day.thawed[number] for number in kept))


def with_no_show(day: ReplayDay, share: float) -> ReplayDay:
    """
    Return the day on which another share of the bookings stays away.

    Raises:
        RecordError: The share is not from 0 to below 1.
    """
    if not 0 <= share < 1:
        raise RecordError(f"a no-show of {share:.0%}", advice="0 % or more, below 100 %")
    return replace(day, no_show=share)


def with_turns_of(day: ReplayDay, mean_s: float) -> ReplayDay:
    """Return the day with turns at the chairs that are longer or shorter, all in proportion."""
    table = day.chair.table
    return replace(day, chair=Law(table * (mean_s / day.chair.moments()[0])))


def with_draws_of(day: ReplayDay, mean_s: float) -> ReplayDay:
    """Return the day with doses that take longer or shorter to draw, all in proportion."""
    table = day.drawing.table
    return replace(day, drawing=Law(table * (mean_s / day.drawing.moments()[0])))


def differences(before: Replays, after: Replays) -> dict[str, Difference]:
    """
    Return what a change does to each figure, day by day on the same days.

    Source: the paired-t interval under common random numbers, as in Law, "Simulation Modeling
        and Analysis" (from memory).
    """
    return {
        name: _compared(before.daily(column), after.daily(column))
        for name, column in MEASURES.items()
    }


def worst_half(before: Replays, after: Replays) -> tuple[int, Difference]:
    """Return the number of the half hour that waits longest as it was, and its mean wait."""
    waits, people = (before.by_time[:, :, k].sum(axis=0) for k in (WAITS_S, PEOPLE))
    number = int(np.argmax(waits / np.maximum(people, 1)))
    return number, wait_of_half(number, before, after)


def wait_of_half(number: int, before: Replays, after: Replays) -> Difference:
    """Return the mean wait of those ready in one half hour, and what a change does to it."""
    return _compared(_wait_in(before, number), _wait_in(after, number))


def _wait_in(played: Replays, number: int) -> Values:
    """Return the mean wait of those ready in one half hour, of each day; 0 where nobody is."""
    waits, people = (played.by_time[:, number, k] for k in (WAITS_S, PEOPLE))
    return np.asarray(waits / np.maximum(people, 1), np.float64)


def _compared(one: Values, other: Values) -> Difference:
    return Difference(float(one.mean()), float(other.mean()), mean_interval(other - one))


def mean_interval(daily: Values) -> Interval:
    """Return the mean of a figure over days and its interval; of equal days it has no width."""
    days, mean = len(daily), float(daily.mean())
    if daily.min() == daily.max():
        return Interval(mean, mean, mean)
    error = float(daily.std(ddof=1)) / math.sqrt(days)
    off = error * errors_to_each_side(days)
    return Interval(mean, mean - off, mean + off)
