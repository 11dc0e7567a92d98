"""A change to a day of the record as a page asks it, played beside the pages."""

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from datetime import date, time, timedelta

from thawline.adapters.many_days import blocks
from thawline.adapters.station_tables import example_in
from thawline.app.ports import Site
from thawline.app.replay_changes import Changed, compared
from thawline.app.replays import Replay, replay_of
from thawline.base.errors import RecordError
from thawline.base.instants import Instant, local_instant
from thawline.plan.half_hours import HALF_HOUR, half_hour_of
from thawline.plan.replay import ReplayDay, Replays, joined, replayed
from thawline.plan.replay_change import (
    CHAIR,
    DRAW_TABLE,
    fewer_vials,
    more_people,
    more_tables,
    with_no_show,
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


def _changed(site: Site, replay: Replay, wanted: Wanted) -> tuple[ReplayDay, str]:
    day, number = replay.played, wanted.number
    if wanted.change == TABLE:
        if not replay.tables:
            raise RecordError(
                "no draw table is on record that day, or not all its draws",
                advice="ask about the chairs",
            )
        at = _within(site, replay, wanted.since)
        says = f"one {DRAW_TABLE} more from {wanted.since:%H:%M}"
        return more_tables(day, at - replay.begins), says
    if wanted.change == PEOPLE:
        since = _within(site, replay, wanted.since) - replay.begins
        until = _within(site, replay, wanted.until) - replay.begins if wanted.until else None
        if until is not None and until <= since:
            raise RecordError("that is no time", advice="give the earlier time first")
        ends = f"to {wanted.until:%H:%M}" if wanted.until else "on"
        says = f"{abs(number)} {'more' if number >= 0 else 'fewer'} at the chairs"
        says += f" from {wanted.since:%H:%M} {ends}"
        return more_people(day, CHAIR, number, (since, until)), says
    if wanted.change == VIALS:
        return fewer_vials(day, number), f"{number} vials fewer thawed at the start"
    if wanted.change == NO_SHOW:
        says = f"{number} of 100 stay away, not {_PERCENT * day.stayed_away:.1f}"
        return with_no_show(day, number / _PERCENT), says
    raise RecordError(f"no change {wanted.change!r}", advice=f"one of {', '.join(CHANGES)}")


def _within(site: Site, replay: Replay, wall: time | None) -> Instant:
    """Return a time of the day that is asked about, inside the hours it was open."""
    if wall is None:
        raise RecordError("from when?", advice="type a time, as in 11:30")
    at = local_instant(replay.day, wall, site.zone)
    opens = half_hour_of(replay.opens, site.zone)
    closes = Instant(half_hour_of(replay.closes, site.zone) + HALF_HOUR)
    if not opens <= at <= closes:
        raise RecordError(
            f"{wall:%H:%M} is outside the hours of {replay.day.isoformat()}",
            advice="ask about a time at which people were at the chairs",
        )
    return at
