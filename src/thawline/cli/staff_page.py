"""What `thawline plan staff` prints and answers about the staffing it found."""

import math
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from datetime import timedelta
from typing import Any

from thawline.adapters.station_tables import Stations
from thawline.cli.staff_options import Wanted
from thawline.cli.text import table, wrapped
from thawline.plan.chairs import Chairs, chairs_for
from thawline.plan.enough_days import Enough, enough_on
from thawline.plan.flow_outcome import Estimate, estimate
from thawline.plan.half_hours import HALF_HOUR
from thawline.plan.shifts import Shift, shifts
from thawline.plan.staffing import MOST_EACH, Kept

_COVER = 0.99  # of moments, and of days, for the chairs; shown beside both
_HUNDREDTH = 100
_HOUR = timedelta(hours=1)

Clock = Callable[[int], str]
"""Says when a half hour begins, counted from opening."""


@dataclass(frozen=True, slots=True)
class Staffed:
    """
    The staffing found, with the shifts that cover it and the chairs it needs.

    Args:
        kept: The staffing, and what it does.
        plans: The shifts of each station, by its name.
        chairs: Enough on so many of the days, and how sure that is.
        at_once: Enough at so many of the moments.
        worst: The share of people who wait longer in the worst half hour.
        clock: Says when a half hour begins.
    """

    kept: Kept
    plans: Mapping[str, Sequence[Shift]]
    chairs: Enough
    at_once: Chairs
    worst: float
    clock: Clock


def staffed_with(kept: Kept, site: Stations, clock: Clock) -> Staffed:
    """Return the shifts and the chairs of a staffing."""
    day = kept.day
    come = sum(day.bookings) * (1 - day.no_show) + sum(day.walk_ups)
    per_hour = come / (len(day.bookings) * day.slot / _HOUR)
    return Staffed(
        kept=kept,
        plans={s.name: shifts(s.servers, site.shift) for s in day.stations},
        chairs=enough_on(kept.outcome.daily("most under observation"), _COVER),
        at_once=chairs_for(per_hour, day.stays, _COVER),
        worst=max((late for late in kept.late if not math.isnan(late)), default=0.0),
        clock=clock,
    )


def staff_data(found: Staffed, site: Stations, wanted: Wanted) -> dict[str, Any]:
    """Return the JSON form."""
    here, plans = found.kept, found.plans
    waits = {s.name: estimate(here.outcome.mean_wait_s(s.name)) for s in here.day.stations}
    return {
        "keeps": here.keeps,
        "share": wanted.share,
        "within_min": wanted.within_min,
        "worst_half_hour_late_share": found.worst,
        "half_hours_of_work": here.half_hours_of_work,
        "people": sum(shift.people for plan in plans.values() for shift in plan),
        "stations": [
            _station(s.name, s.servers, plans[s.name], waits[s.name]) for s in here.day.stations
        ],
        "chairs": int(found.chairs.value),
        "chairs_low": int(found.chairs.low),
        "chairs_high": None if found.chairs.high is None else int(found.chairs.high),
        "chairs_at_one_moment": found.at_once.chairs,
        "late_share": [None if math.isnan(late) else late for late in here.late],
        "days": here.outcome.days,
        "seed": wanted.seed,
        "times": site.says,
    }


def _station(
    name: str, servers: tuple[int, ...], plan: Sequence[Shift], waits: Estimate
) -> dict[str, Any]:
    return {
        "name": name,
        "serving": list(servers),
        "mean_wait_s": waits.mean,
        "mean_wait_error_s": waits.error,
        "shifts": shifts_data(plan),
    }


def shifts_data(plan: Sequence[Shift]) -> list[dict[str, Any]]:
    """Return the JSON form of shifts, in hours from opening."""
    return [
        {
            "people": s.people,
            "from_h": s.starts / 2,
            "to_h": s.ends / 2,
            "break_h": None if s.pause is None else s.pause / 2,
        }
        for s in plan
    ]


def staff_text(found: Staffed, site: Stations, wanted: Wanted) -> list[str]:
    """Return the page: the promise, the people by the half hour, shifts and chairs."""
    here = found.kept
    percent = f"{wanted.share * 100:g}%"
    said = f"wait less than {wanted.within_min:g} min, at all stations together"
    first = (
        f"{percent} {said}, in every half hour."
        if here.keeps
        else f"Not to be kept: that {percent} {said}. The nearest, with up to {MOST_EACH} at a "
        f"station: in the worst half hour {1 - found.worst:.0%}."
    )
    halves = len(here.day.stations[0].servers)
    rows = [
        [
            found.clock(half),
            *(str(s.servers[half]) for s in here.day.stations),
            _late(here, half),
        ]
        for half in range(halves)
    ]
    head = ("from", *(s.name for s in here.day.stations), "wait longer")
    return [
        wrapped(first),
        table(head, rows, right=tuple(range(1, len(head)))),
        *(
            wrapped(f"{name}: {shifts_text(plan, found.clock)}.", 2)
            for name, plan in found.plans.items()
        ),
        wrapped(
            f"Chairs under observation: {found.chairs.value:.0f} are enough on {_COVER:.0%} of "
            f"days (the highest of a day; {_sure(found)}); {found.at_once.chairs} at "
            f"{_COVER:.0%} of moments.",
            2,
        ),
        wrapped(
            f"From {here.outcome.days:,} simulated days, seed {wanted.seed}; the shares are "
            f"off by up to {max(here.error):.1%} (standard error). Times: {site.says}.",
            2,
        ),
    ]


def chairs_not_known(found: Staffed) -> tuple[str, ...]:
    """Return the upper end of the chairs where so few days have none."""
    return () if found.chairs.high is not None else ("chairs_high",)


def _sure(found: Staffed) -> str:
    """Return how sure the chairs are, by so many days."""
    days, chairs = found.kept.outcome.days, found.chairs
    if chairs.high is None:
        return f"{chairs.low:.0f} to ?: {days:,} days are too few for an upper end"
    return f"{chairs.low:.0f} to {chairs.high:.0f}, 95 % sure"


def from_opening(half: int) -> str:
    """Return the beginning of a half hour, in hours from opening."""
    minutes = half * HALF_HOUR // timedelta(minutes=1)
    return f"{minutes // 60} h {minutes % 60:02}"


def _late(here: Kept, half: int) -> str:
    late = here.late[half]
    return "-" if math.isnan(late) else f"{late * _HUNDREDTH:.0f} %"


def shifts_text(plan: Sequence[Shift], clock: Clock) -> str:
    """Return shifts in words."""
    return "; ".join(
        f"{s.people} from {clock(s.starts)} to {clock(s.ends)}"
        + ("" if s.pause is None else f", break at {clock(s.pause)}")
        for s in plan
    )
