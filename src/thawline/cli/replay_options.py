"""Which day is played again and how often, and the days as they come."""

import sys
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import timedelta

from cyclopts import Parameter

from thawline.adapters.many_days import blocks
from thawline.adapters.station_tables import example_in
from thawline.app.ports import Site
from thawline.app.replays import Replay, replay_of
from thawline.base.errors import RecordError
from thawline.base.instants import local_date, read_date
from thawline.cli.amounts import wait_of
from thawline.cli.asking import moment
from thawline.cli.progress import Progress
from thawline.plan.replay import ReplayDay, Replays, joined, replayed


@Parameter(name="*")
@dataclass(frozen=True, kw_only=True)
class Which:
    """
    Which day, and how it is played.

    Parameters
    ----------
    day
        The day, as in 2026-02-03; that of --at if left out.
    within_min
        Minutes of waiting for a chair that are promised; longer waits are counted.
    days
        Simulated days.
    seed
        Of the simulated days.
    stations
        A file of stations and their times, for what the record does not tell; left out, the
        example that is shipped.
    """

    day: str | None = None
    within_min: float = 20
    days: int = 500
    seed: int = 28
    stations: str | None = None

    @property
    def promise(self) -> timedelta:
        """Return the longest wait that keeps the promise."""
        return wait_of(self.within_min)


def asked_for(site: Site, which: Which, at: str | None) -> Replay:
    """Return the day that is asked for, from the site's record."""
    if which.days < 2:  # noqa: PLR2004  one day has no error
        raise RecordError(f"{which.days} days", advice="2 or more; 500 is usual")
    now = moment(at, site.now(), site.zone)
    day = local_date(now, site.zone) if which.day is None else read_date(which.day)
    return replay_of(site, day, example_in(which.stations))


def played(variants: Sequence[ReplayDay], which: Which) -> list[Replays]:
    """Return the same days of each variant; what is finished when the user stops."""

    def some(first: int, days: int) -> list[Replays]:
        numbers = (first, days)
        return [replayed(each, which.seed, numbers, which.promise) for each in variants]

    finished: list[list[Replays]] = []
    progress = Progress(sys.stderr, "days")
    try:
        for block in blocks(some, which.days):
            finished.append(block)
            progress.show(sum(part[0].days for part in finished), which.days)
    except KeyboardInterrupt:
        if not finished:
            raise
    finally:
        progress.end()
    return [joined(parts) for parts in zip(*finished, strict=True)]
