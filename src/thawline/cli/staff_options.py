"""The options of `thawline plan staff`: the day, the promise, and how staffings are ranked."""

from dataclasses import dataclass
from datetime import timedelta

from cyclopts import Parameter

from thawline.cli.amounts import wait_of
from thawline.cli.options import Yes


@Parameter(name="*")
@dataclass(frozen=True, kw_only=True)
class Day:
    """
    The day that is staffed: as it is booked at a site, or typed.

    Parameters
    ----------
    booked
        People booked, spread evenly over the hours; left out, the site's own bookings count.
    no_show
        The share of them that stays away, from 0 to 1; learned at a site if left out.
    hours
        Hours for which people are booked; goes with --booked.
    slot_min
        The length of a slot in minutes.
    walk_ups_per_hour
        People who come without a booking; learned at a site if left out.
    stations
        A file of stations and their times; left out, the example that is shipped.
    on
        The day at the site, as in 2026-02-03; the next day with bookings if left out.
    """

    booked: int | None = None
    no_show: float | None = None
    hours: float | None = None
    slot_min: int = 10
    walk_ups_per_hour: float | None = None
    stations: str | None = None
    on: str | None = None


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

    @property
    def within(self) -> timedelta:
        """Return the wait that is promised."""
        return wait_of(self.within_min)


@Parameter(name="*")
@dataclass(frozen=True, kw_only=True)
class Ranking:
    """
    Whether rosters of whole shifts are ranked, and how.

    Parameters
    ----------
    rank
        How many rosters near the plan are ranked, as in 1000; left out, none.
    sure
        The chance that all that is said of the roster chosen is right.
    close
        Shares of late people that differ by less do not count.
    most_days
        Simulated days at the most for the promise, and again for the choice.
    again
        Rank again around the best, on further days, as long as fewer people do.
    """

    rank: int | None = None
    sure: float = 0.95
    close: float = 0.02
    most_days: int = 20_000
    again: Yes = False


@Parameter(name="*")
@dataclass(frozen=True, kw_only=True)
class Drawn:
    """
    Pictures of the day: how long people wait, and doses given against plan.

    Parameters
    ----------
    picture
        Print the pictures as well.
    svg
        The file to write them to; its name ends in .svg.
    """

    picture: Yes = False
    svg: str | None = None


WANTED = Wanted()
UNRANKED = Ranking()
UNDRAWN = Drawn()
