"""A change to a day of the record as a page asks it, played beside the pages."""

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from datetime import date, time, timedelta

from thawline.adapters.many_days import blocks
from thawline.adapters.station_tables import example_in
from thawline.app.ports import Site
from thawline.app.replay_asked import (
    Asked,
    one_table_more,
    people_more,
    stays_away,
    vials_fewer,
)
from thawline.app.replay_changes import Changed, compared
from thawline.app.replays import Replay, replay_of
from thawline.base.errors import RecordError
from thawline.base.instants import Instant, local_instant
from thawline.plan.replay import ReplayDay, Replays, joined, replayed
from thawline.plan.replay_change import (
    CHAIR,
)

DAYS, SEED, FEW = 500, 28, 50
"""As the command line takes them where nobody says otherwise."""
PROMISE = timedelta(minutes=20)
TABLE, PEOPLE, VIALS, NO_SHOW = "table", "people", "vials", "no-show"
CHANGES = {
    TABLE: "one draw table more, from a time on",
    PEOPLE: "more or fewer people at the chairs",
    VIALS: "fewer vials thawed at the start",
    NO_SHOW: "so many of 100 stay away",
}
_PERCENT = 100


@dataclass(frozen=True, slots=True)
class Wanted:
    """One change to one day; `number`: people, vials, or of 100."""

    day: date
    change: str
    number: int = 0
    since: time | None = None
    until: time | None = None


def played(site: Site, wanted: Wanted, tell: Callable[[str], None]) -> Changed:
    """
    Return what the change does; tells how far it is.

    Raises:
        RecordError: The day cannot be changed like that.
        NotFoundError: Nothing is on record of that day.
    """
    tell("reading the day's record")
    replay = replay_of(site, wanted.day, example_in(None))
    changed, says = _changed(site, replay, wanted)

    def play(days: int) -> Callable[[Sequence[ReplayDay]], list[Replays]]:
        return lambda variants: _days(variants, days, tell)

    return compared(replay, changed, says, play(DAYS), play(FEW))


def _days(
    variants: Sequence[ReplayDay], days: int, tell: Callable[[str], None]
) -> list[Replays]:
    def some(first: int, many: int) -> list[Replays]:
        return [replayed(each, SEED, (first, many), PROMISE) for each in variants]

    finished: list[list[Replays]] = []
    for block in blocks(some, days):
        finished.append(block)
        done = sum(part[0].days for part in finished)
        tell(f"{done} of {days} days, {len(variants)} ways each")
    return [joined(parts) for parts in zip(*finished, strict=True)]


def _changed(site: Site, replay: Replay, wanted: Wanted) -> Asked:
    if wanted.change == TABLE:
        return one_table_more(replay, _at(site, replay, wanted.since), site.zone)
    if wanted.change == PEOPLE:
        until = _at(site, replay, wanted.until) if wanted.until else None
        between = (_at(site, replay, wanted.since), until)
        return people_more(replay, CHAIR, wanted.number, between, site.zone)
    if wanted.change == VIALS:
        return vials_fewer(replay, wanted.number)
    if wanted.change == NO_SHOW:
        return stays_away(replay, wanted.number / _PERCENT)
    raise RecordError(f"no change {wanted.change!r}", advice=f"one of {', '.join(CHANGES)}")


def _at(site: Site, replay: Replay, wall: time | None) -> Instant:
    """Return a time of the day that is asked about."""
    if wall is None:
        raise RecordError("from when?", advice="type a time, as in 11:30")
    return local_instant(replay.day, wall, site.zone)
