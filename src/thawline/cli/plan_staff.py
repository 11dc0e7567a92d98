"""`thawline plan staff`: the fewest people at each station for a promise about waiting."""

import sys
from datetime import timedelta

from thawline.adapters.many_days import blocks
from thawline.adapters.station_tables import Stations, stations_in
from thawline.adapters.whole_files import write_picture
from thawline.base.errors import RecordError
from thawline.cli.answers import Answer
from thawline.cli.progress import Progress
from thawline.cli.staff_options import (
    UNDRAWN,
    UNRANKED,
    WANTED,
    Day,
    Drawn,
    Ranking,
    Wanted,
)
from thawline.cli.staff_page import clock, staff_data, staff_text, staffed_with
from thawline.cli.staff_pictures import pictures
from thawline.cli.staff_ranking import chosen, ranking_data, ranking_text
from thawline.plan.clinic_day import ClinicDay
from thawline.plan.flow import followed_days
from thawline.plan.flow_outcome import Outcome, joined
from thawline.plan.staffing import Kept, Promise, fewest

_HOUR = timedelta(hours=1)
_STOPPED = "\nStopped before anything was known of the rosters."


def staff(
    *, day: Day, wanted: Wanted = WANTED, ranking: Ranking = UNRANKED, drawn: Drawn = UNDRAWN
) -> Answer:
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
    kept = _searched(_clinic_day(day, site), promise, wanted)
    found = staffed_with(kept, site)
    data, lines = staff_data(found, site, wanted), staff_text(found, site, wanted)
    if ranking.rank is not None:
        names = [station.name for station in site.stations]
        choice = chosen(found, site, wanted, ranking)
        data["ranking"] = choice and ranking_data(choice, names, ranking)
        lines += ranking_text(choice, names, wanted, ranking) if choice else [_STOPPED]
    if drawn != UNDRAWN:
        both = pictures(kept, wanted, clock, "hours from opening", demo=False)
        lines += both.text() if drawn.picture else []
        data["svg"] = drawn.svg
        if drawn.svg is not None:
            write_picture(drawn.svg, both.svg())
    return Answer(data=data, text="\n".join(lines), found=None if kept.keeps else True)


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
