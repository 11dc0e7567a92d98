"""
Harrowmint's lunch, played again from the record: half the staff is away, people come later.

What would one preparer more have saved, and what one vaccinator? The answer is worked out from
the stamps of the day, as anybody would ask for it of their own site.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, time, timedelta

from thawline.adapters.many_days import blocks
from thawline.adapters.station_tables import example_in
from thawline.app.ports import Site
from thawline.app.replay_changes import Changed, compared
from thawline.app.replays import Replay, replay_of
from thawline.base.instants import local_instant
from thawline.plan.replay import ReplayDay, Replays, joined, replayed
from thawline.plan.replay_change import CHAIR, DRAW_TABLE, more_people
from thawline.plan.replay_fit import Fit, fit

LUNCH = (time(11, 30), time(13, 30))
DAYS, FEW, SEED, PROMISE = 500, 50, 28, timedelta(minutes=20)


@dataclass(frozen=True, slots=True, eq=False)
class LunchDip:
    """The day as it was and as it is played, and what one person more would have saved."""

    replay: Replay
    found: Fit
    preparer: Changed
    vaccinator: Changed


def lunch_dip(site: Site, day: date) -> LunchDip:
    """Return the day of the demo, played again from its record."""
    replay = replay_of(site, day, example_in(None))
    since, until = (local_instant(day, at, site.zone) for at in LUNCH)
    between = (since - replay.begins, until - replay.begins)
    changes = [
        compared(
            replay, more_people(replay.played, station, 1, between), says, _play, _play_few
        )
        for station, says in ((DRAW_TABLE, "one preparer more"), (CHAIR, "one vaccinator more"))
    ]
    vials = (replay.vials_opened, replay.played.vials.doses)
    found = fit(replay.recorded, replay.begins, vials, _play([replay.played])[0], PROMISE)
    return LunchDip(replay, found, *changes)


def _play(days: Sequence[ReplayDay], many: int = DAYS) -> list[Replays]:
    def some(first: int, count: int) -> list[Replays]:
        return [replayed(each, SEED, (first, count), PROMISE) for each in days]

    return [joined(parts) for parts in zip(*blocks(some, many), strict=True)]


def _play_few(days: Sequence[ReplayDay]) -> list[Replays]:
    return _play(days, FEW)
