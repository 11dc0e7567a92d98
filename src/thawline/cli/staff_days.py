"""The day that `thawline plan staff` is asked about: as typed, or as it is booked at a site."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import timedelta
from typing import Any

from thawline.adapters.station_tables import Stations
from thawline.app.ports import Site
from thawline.app.staffed_day import AskStaffed, BookedDay, booked_day
from thawline.base.errors import RecordError
from thawline.base.instants import Instant, local_time, read_date, written
from thawline.cli.amounts import check_hours, walk_ups_of
from thawline.cli.asking import moment, site_named
from thawline.cli.options import Where
from thawline.cli.staff_options import Day
from thawline.cli.staff_page import Clock, from_opening
from thawline.cli.text import clock_time, day_name
from thawline.plan.clinic_day import ClinicDay
from thawline.plan.half_hours import HALF_HOUR

_HOUR = timedelta(hours=1)


@dataclass(frozen=True, slots=True)
class DayAsked:
    """
    A day, and how to speak of it.

    Args:
        day: With one person at each station.
        clock: Says when a half hour begins.
        what: The day in a few words.
        says: Where its figures come from.
        data: The same as JSON.
        not_known: Names of what is null in `data`.
        demo: Everything in it is invented.
    """

    day: ClinicDay
    clock: Clock
    what: str
    says: Sequence[str]
    data: dict[str, Any]
    not_known: tuple[str, ...] = ()
    demo: bool = False


def day_asked(day: Day, site: Stations, where: Where) -> DayAsked:
    """
    Return the day that was typed, else the one that is booked at a site.

    Raises:
        RecordError: It is half typed, or typed and asked of a site.
    """
    if day.booked is None:
        if day.hours is not None:
            raise RecordError(
                "--hours without --booked", advice="a site's bookings have hours of their own"
            )
        return _at_site(day, site, where)
    if (where.site, where.at, day.on) != (None, None, None):
        raise RecordError(
            "--site, --on and --at ask for a site's own bookings",
            advice="leave --booked and --hours out",
        )
    if day.hours is None or day.no_show is None:
        raise RecordError(
            "--booked without hours or no-show", advice="add --hours 11 --no-show 0.08"
        )
    typed = _typed(day, site, day.booked, day.hours)
    return DayAsked(typed, from_opening, "hours from opening", ("Hours from opening.",), {})


def _typed(day: Day, site: Stations, booked: int, hours: float) -> ClinicDay:
    slot = timedelta(minutes=day.slot_min)
    check_hours(hours)
    count = round(hours * _HOUR / slot) if day.slot_min > 0 else 0
    if count < 1 or booked < 0:
        raise RecordError(
            f"{booked} people in {hours:g} h of slots of {day.slot_min} min",
            advice="at least one slot, and no fewer people than none",
        )
    whole, rest = divmod(booked, count)
    bookings = tuple(
        whole + ((n + 1) * rest // count - n * rest // count) for n in range(count)
    )
    walking = (walk_ups_of(day.walk_ups_per_hour) or 0.0) * (slot / _HOUR)
    return _clinic_day(site, bookings, slot, day.no_show or 0.0, (walking,) * count)


def _clinic_day(
    site: Stations,
    bookings: tuple[int, ...],
    slot: timedelta,
    no_show: float,
    walk_ups: tuple[float, ...],
) -> ClinicDay:
    return ClinicDay(
        bookings=bookings,
        slot=slot,
        no_show=no_show,
        punctuality=site.punctuality,
        stations=site.stations,
        stays=site.stays,
        walk_ups=walk_ups if any(walk_ups) else (),
    )


def _at_site(day: Day, site: Stations, where: Where) -> DayAsked:
    place = site_named(where.site)
    slot = timedelta(minutes=day.slot_min)
    ask = AskStaffed(
        now=moment(where.at, place.now(), place.zone),
        day=None if day.on is None else read_date(day.on),
        slot=slot,
        no_show=day.no_show,
        walk_ups_an_hour=walk_ups_of(day.walk_ups_per_hour),
    )
    found = booked_day(place, ask)

    def clock(half: int) -> str:
        at = Instant(found.opens + half * HALF_HOUR)
        return local_time(at, place.zone).strftime("%H:%M")

    return DayAsked(
        day=_clinic_day(site, found.bookings, slot, found.no_show, found.walk_ups or ()),
        clock=clock,
        what=f"{place.name}, {day_name(found.day)}",
        says=_site_says(found, place),
        data=_site_data(found, place),
        not_known=_not_known(found),
        demo=place.demo,
    )


def _site_says(found: BookedDay, place: Site) -> tuple[str, ...]:
    as_of = "?" if found.as_of is None else clock_time(found.as_of, place.zone, found.day)
    return (
        f"{place.name}, {day_name(found.day)}: {sum(found.bookings):,} booked, as of {as_of}. "
        f"No-shows: {found.no_show_says}. Walk-ups: {found.walk_ups_say}.",
    )


def _site_data(found: BookedDay, place: Site) -> dict[str, Any]:
    return {
        "site": place.name,
        "day": found.day.isoformat(),
        "opens": written(found.opens, place.zone),
        "booked": sum(found.bookings),
        "bookings_as_of": None if found.as_of is None else written(found.as_of, place.zone),
        "no_show": found.no_show,
        "no_show_from": found.no_show_says,
        "expected_walk_ups": None if found.walk_ups is None else sum(found.walk_ups),
        "walk_ups_from": found.walk_ups_say,
    }


def _not_known(found: BookedDay) -> tuple[str, ...]:
    named = {"bookings_as_of": found.as_of, "expected_walk_ups": found.walk_ups}
    return tuple(name for name, value in named.items() if value is None)
