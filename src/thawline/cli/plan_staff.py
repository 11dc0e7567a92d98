"""`thawline plan staff`: the fewest people at each station for a promise about waiting."""

import math
import sys
from dataclasses import dataclass
from datetime import timedelta
from typing import Any

from cyclopts import Parameter

from thawline.adapters.many_days import blocks
from thawline.adapters.station_tables import Stations, stations_in
from thawline.base.errors import RecordError
from thawline.cli.answers import Answer
from thawline.cli.progress import Progress
from thawline.cli.text import table, wrapped
from thawline.plan.chairs import Chairs, chairs_for
from thawline.plan.clinic_day import ClinicDay
from thawline.plan.flow import followed_days
from thawline.plan.flow_outcome import Estimate, Outcome, estimate, joined
from thawline.plan.half_hours import HALF_HOUR
from thawline.plan.shifts import Shift, shifts
from thawline.plan.staffing import MOST_EACH, Kept, Promise, fewest

_HOUR = timedelta(hours=1)
_COVER = 0.99  # of moments, and of days, for the chairs; shown beside both
_HUNDREDTH = 100


@Parameter(name="*")
@dataclass(frozen=True, kw_only=True)
class Day:
    """
    The day that is staffed.

    Parameters
    ----------
    booked
        People booked, spread evenly over the hours.
    no_show
        The share of them that stays away, from 0 to 1.
    hours
        Hours for which people are booked.
    slot_min
        The length of a slot in minutes.
    walk_ups_per_hour
        People who come without a booking.
    stations
        A file of stations and their times; left out, the example that is shipped.
    """

    booked: int
    no_show: float
    hours: float
    slot_min: int = 10
    walk_ups_per_hour: float = 0
    stations: str | None = None


@Parameter(name="*")
@dataclass(frozen=True, kw_only=True)
class Wanted:
    """
    The promise, and how it is tried.

    Parameters
    ----------
    within_min
        Minutes that somebody may wait, at all stations together.
    share
        The share of people that waits less, in every half hour.
    days
        Simulated days on which each staffing is tried, the same for all.
    seed
        Of the simulated days.
    """

    within_min: float = 20
    share: float = 0.9
    days: int = 200
    seed: int = 28


WANTED = Wanted()


def staff(*, day: Day, wanted: Wanted = WANTED) -> Answer:
    """
    Say how few people at each station keep a promise about waiting; records nothing.

    thawline plan staff --booked 720 --no-show 0.08 --hours 11
    thawline plan staff --booked 240 --no-show 0.1 --hours 6 --within-min 10 --share 0.95

    A wait is the sum over all stations; observation is none. The times are those of the file,
    never the seconds that a screen is meant to take.
    """
    site = stations_in(day.stations)
    promise = Promise(wanted.share, timedelta(minutes=wanted.within_min))
    if wanted.days < 2:  # noqa: PLR2004  one day has no error
        raise RecordError(f"{wanted.days} days", advice="2 or more; 200 is usual")
    here = _searched(_clinic_day(day, site), promise, wanted)
    return _answer(here, site, promise, wanted, day)


def _clinic_day(day: Day, site: Stations) -> ClinicDay:
    """Return the day with one person at each station."""
    slot = timedelta(minutes=day.slot_min)
    count = round(day.hours * _HOUR / slot) if day.slot_min > 0 else 0
    if count < 1 or day.booked < 0:
        raise RecordError(
            f"{day.booked} people in {day.hours:g} h of slots of {day.slot_min} min",
            advice="at least one slot, and no fewer people than none",
        )
    whole, rest = divmod(day.booked, count)
    bookings = tuple(
        whole + ((n + 1) * rest // count - n * rest // count) for n in range(count)
    )
    walking = day.walk_ups_per_hour * (slot / _HOUR)
    return ClinicDay(
        bookings=bookings,
        slot=slot,
        no_show=day.no_show,
        punctuality=site.punctuality,
        stations=site.stations,
        stays=site.stays,
        walk_ups=(walking,) * count if walking else (),
    )


def _searched(day: ClinicDay, promise: Promise, wanted: Wanted) -> Kept:
    """Return the best staffing found; the best so far when the user stops the search."""

    def play(staffed: ClinicDay) -> Outcome:
        def some(first: int, days: int) -> Outcome:
            return followed_days(staffed, wanted.seed, (first, days), promise.within)

        return joined(list(blocks(some, wanted.days)))

    best: Kept | None = None
    progress = Progress(sys.stderr, "half hours looked at")
    try:
        for done, best in enumerate(fewest(day, promise, play)):
            halves = len(best.day.stations[0].servers)
            progress.show(done + 1, 1 + len(day.stations) * halves)
    except KeyboardInterrupt:
        if best is None:
            raise
    finally:
        progress.end()
    assert best is not None  # noqa: S101  the search yields at least one
    return best


def _answer(here: Kept, site: Stations, promise: Promise, wanted: Wanted, day: Day) -> Answer:
    plans = {s.name: shifts(s.servers, site.shift) for s in here.day.stations}
    come = day.booked * (1 - day.no_show) / day.hours + day.walk_ups_per_hour
    at_once = chairs_for(come, here.day.stays, _COVER)
    peak = here.outcome.daily("most under observation")
    chairs = sorted(peak.tolist())[min(int(_COVER * len(peak)), len(peak) - 1)]
    waits = {s.name: estimate(here.outcome.mean_wait_s(s.name)) for s in here.day.stations}
    worst = max((late for late in here.late if not math.isnan(late)), default=0.0)
    return Answer(
        data={
            "keeps": here.keeps,
            "share": promise.share,
            "within_min": wanted.within_min,
            "worst_half_hour_late_share": worst,
            "half_hours_of_work": here.half_hours_of_work,
            "people": sum(shift.people for plan in plans.values() for shift in plan),
            "stations": [_station(s.name, s.servers, plans, waits) for s in here.day.stations],
            "chairs": int(chairs),
            "chairs_at_one_moment": at_once.chairs,
            "late_share": [None if math.isnan(late) else late for late in here.late],
            "days": here.outcome.days,
            "seed": wanted.seed,
            "times": site.says,
        },
        text="\n".join(_text(here, plans, (at_once, int(chairs)), site, wanted, worst)),
        found=None if here.keeps else True,
    )


def _station(
    name: str,
    servers: tuple[int, ...],
    plans: dict[str, tuple[Shift, ...]],
    waits: dict[str, Estimate],
) -> dict[str, Any]:
    return {
        "name": name,
        "serving": list(servers),
        "mean_wait_s": waits[name].mean,
        "mean_wait_error_s": waits[name].error,
        "shifts": [
            {
                "people": s.people,
                "from_h": s.starts / 2,
                "to_h": s.ends / 2,
                "break_h": None if s.pause is None else s.pause / 2,
            }
            for s in plans[name]
        ],
    }


def _text(
    here: Kept,
    plans: dict[str, tuple[Shift, ...]],
    chairs: tuple[Chairs, int],
    site: Stations,
    wanted: Wanted,
    worst: float,
) -> list[str]:
    percent = f"{wanted.share:.0%}"
    said = f"wait less than {wanted.within_min:g} min, at all stations together"
    first = (
        f"{percent} {said}, in every half hour."
        if here.keeps
        else f"Not to be kept: that {percent} {said}. The nearest, with up to {MOST_EACH} at a "
        f"station: in the worst half hour {1 - worst:.0%}."
    )
    halves = len(here.day.stations[0].servers)
    rows = [
        [_clock(half), *(str(s.servers[half]) for s in here.day.stations), _late(here, half)]
        for half in range(halves)
    ]
    head = ("from", *(s.name for s in here.day.stations), "wait longer")
    error = max(here.error)
    return [
        wrapped(first),
        table(head, rows, right=tuple(range(1, len(head)))),
        *(wrapped(f"{name}: {_shifts(plan)}.", 2) for name, plan in plans.items()),
        wrapped(
            f"Chairs under observation: {chairs[1]} are enough on {_COVER:.0%} of days (the "
            f"highest of a day); {chairs[0].chairs} at {_COVER:.0%} of moments.",
            2,
        ),
        wrapped(
            f"From {here.outcome.days:,} simulated days, seed {wanted.seed}; the shares are "
            f"off by up to {error:.1%} (standard error). Hours count from opening. Times: "
            f"{site.says}.",
            2,
        ),
    ]


def _clock(half: int) -> str:
    minutes = half * HALF_HOUR // timedelta(minutes=1)
    return f"{minutes // 60} h {minutes % 60:02}"


def _late(here: Kept, half: int) -> str:
    late = here.late[half]
    return "-" if math.isnan(late) else f"{late * _HUNDREDTH:.0f} %"


def _shifts(plan: tuple[Shift, ...]) -> str:
    return "; ".join(
        f"{s.people} from {_clock(s.starts)} to {_clock(s.ends)}"
        + ("" if s.pause is None else f", break at {_clock(s.pause)}")
        for s in plan
    )
