"""`thawline plan staff`: the fewest people at each station for a promise about waiting."""

import sys

from thawline.adapters.many_days import blocks
from thawline.adapters.station_tables import stations_in
from thawline.adapters.whole_files import write_picture
from thawline.base.errors import RecordError
from thawline.cli.answers import Answer
from thawline.cli.options import Where
from thawline.cli.progress import Progress
from thawline.cli.staff_days import day_asked
from thawline.cli.staff_options import (
    UNDRAWN,
    UNRANKED,
    WANTED,
    Day,
    Drawn,
    Ranking,
    Wanted,
)
from thawline.cli.staff_page import chairs_not_known, staff_data, staff_text, staffed_with
from thawline.cli.staff_pictures import pictures
from thawline.cli.staff_ranking import chosen, ranking_data, ranking_text
from thawline.cli.text import wrapped
from thawline.plan.clinic_day import ClinicDay
from thawline.plan.flow import followed_days
from thawline.plan.flow_outcome import Outcome, joined
from thawline.plan.staffing import LEAST_DAYS, Kept, Promise, fewest

_STOPPED = "\nStopped before anything was known of the rosters."
BOOKED = Day()
NOW = Where()


def staff(
    *,
    day: Day = BOOKED,
    where: Where = NOW,
    wanted: Wanted = WANTED,
    ranking: Ranking = UNRANKED,
    drawn: Drawn = UNDRAWN,
) -> Answer:
    """
    Say how few people at each station keep a promise about waiting; records nothing.

    thawline plan staff --site harrowmint --on 2026-02-03 --rank 1000
    thawline plan staff --booked 240 --no-show 0.1 --hours 6 --within-min 10 --share 0.95

    A wait is the sum over all stations; observation is none. The times are those of the file,
    never the seconds that a screen is meant to take.
    """
    site = stations_in(day.stations)
    promise = Promise(wanted.share, wanted.within)
    if wanted.days < LEAST_DAYS:
        raise RecordError(
            f"{wanted.days} days, too few to see how rare long waits are",
            advice=f"{LEAST_DAYS} or more; 200 is usual",
        )
    if ranking.rank is None and ranking != UNRANKED:
        raise RecordError(
            "--sure, --close, --most-days and --again say how rosters are ranked",
            advice="add --rank 1000",
        )
    asked = day_asked(day, site, where)
    kept = _searched(asked.day, promise, wanted)
    found = staffed_with(kept, site, asked.clock)
    data = {**asked.data, **staff_data(found, site, wanted)}
    lines = [*staff_text(found, site, wanted), *(wrapped(each, 2) for each in asked.says)]
    if ranking.rank is not None:
        choice = chosen(found, site, wanted, ranking)
        data["ranking"] = choice and ranking_data(choice, found, ranking)
        lines += ranking_text(choice, found, wanted, ranking) if choice else [_STOPPED]
    if drawn != UNDRAWN:
        both = pictures(kept, wanted, asked.clock, asked.what, demo=asked.demo)
        lines += both.text() if drawn.picture else []
        data["svg"] = drawn.svg
        if drawn.svg is not None:
            write_picture(drawn.svg, both.svg())
    return Answer(
        data=data,
        text="\n".join(lines),
        not_known=(*asked.not_known, *chairs_not_known(found)),
        found=None if kept.keeps else True,
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
