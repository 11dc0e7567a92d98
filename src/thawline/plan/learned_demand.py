"""
What earlier days teach about the next: no-shows by day, walk-ups, people early and late.

Only days on which doses were given count. A walk-up is a booking that was written down on its
own day, when the person was here; it says nothing of no-shows. Times are those of the dose,
not of the door, so that people seem a little later than they came.
"""

from collections import Counter
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from datetime import time

from scipy.stats import chi2

from thawline.plan.day_kinds import SURE, DaySpread, learned_spread
from thawline.plan.demand import ON_TIME
from thawline.plan.no_show import Visit, booked_ahead, days_run, percent

MOST_SHIFT = 2
"""Half-hours early or late that are told apart; more counts as so many. Our own judgement."""


@dataclass(frozen=True, slots=True)
class WalkUps:
    """People without a booking in each half-hour of the wall clock, and who says so."""

    mean: Mapping[time, float]
    says: str


@dataclass(frozen=True, slots=True)
class Shifts:
    """The share of people so many half-hours early (-) or late, and who says so."""

    shares: Mapping[int, float]
    says: str


@dataclass(frozen=True, slots=True)
class Earlier:
    """What the earlier days say; `no_show` is None when there are no bookings to learn from."""

    days: int
    no_show: DaySpread | None
    walk_ups: WalkUps
    shifts: Shifts


def earlier(visits: Iterable[Visit], half_hours: Sequence[time]) -> Earlier:
    """
    Return what earlier visits say of a day with these half-hours.

    Args:
        visits: Every booking of every earlier day.
        half_hours: The half-hours of the day to come, where walk-ups not seen before may fall.
    """
    run = days_run(visits)
    booked = [booked_ahead(seen) for seen in run.values()]
    walked = [visit for seen in run.values() for visit in seen if visit.walk_up]
    return Earlier(
        days=len(run),
        no_show=learned_spread([_counts(seen) for seen in booked if seen]),
        walk_ups=_walk_ups(walked, len(run), half_hours),
        shifts=_shifts([visit for seen in booked for visit in seen]),
    )


def _counts(booked: Sequence[Visit]) -> tuple[int, int]:
    return len(booked), sum(visit.shift is None for visit in booked)


def _walk_ups(walked: Sequence[Visit], days: int, half_hours: Sequence[time]) -> WalkUps:
    """
    Return the walk-ups by half-hour, at the upper limit of their rate.

    Source: the limit of a Poisson mean by chi square, F. Garwood, Biometrika 28, 1936.
    """
    if not days or not half_hours:
        return WalkUps({}, "no earlier day to learn walk-ups from: ? (none counted)")
    most = float(chi2.ppf(SURE, 2 * (len(walked) + 1))) / 2 / days
    seen = Counter(visit.half_hour for visit in walked if visit.half_hour in half_hours)
    known = sum(seen.values())
    mean = {
        each: most * (seen[each] / known if known else 1 / len(half_hours))
        for each in half_hours
    }
    return WalkUps(
        mean, f"{len(walked)} on {days} earlier days; counted as {most:.1f} a day, 9 in 10 sure"
    )


def _shifts(booked: Sequence[Visit]) -> Shifts:
    seen = [visit.shift for visit in booked if visit.shift is not None]
    if not seen:
        return Shifts(ON_TIME, "no earlier day to learn from: everybody in their half-hour")
    kept = Counter(max(-MOST_SHIFT, min(MOST_SHIFT, shift)) for shift in seen)
    shares = {shift: kept[shift] / len(seen) for shift in sorted(kept)}
    early = sum(share for shift, share in shares.items() if shift < 0)
    late = sum(share for shift, share in shares.items() if shift > 0)
    return Shifts(
        shares,
        f"{percent(early)} early by half-hours, {percent(late)} late, of {len(seen):,} here",
    )
