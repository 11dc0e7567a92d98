"""
Second doses shared out between sites: who goes where and when, at the least cost there is.

The days and sites come from `placed_between_sites`; nobody is placed before their day or after
their last one, and who has no place is named, the one who has waited longest first.
"""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import date

import numpy as np

from thawline.base.errors import RecordError
from thawline.plan.places import Waiting
from thawline.plan.places_between import Region, placed_between_sites
from thawline.plan.second_places import Asked, Given


@dataclass(frozen=True, slots=True)
class AskedAt:
    """Somebody who waits at their own site; `may_move`: whether another one will do."""

    asked: Asked
    home: str
    may_move: bool


@dataclass(frozen=True, slots=True)
class GivenAt:
    """A day and a site for one person."""

    given: Given
    home: str
    site: str


@dataclass(frozen=True, slots=True)
class Shared:
    """
    Who goes where and when; `cost` in days: waited, and as many as each move is said to cost.

    `given` by day, site and code; `without` worst first.
    """

    given: tuple[GivenAt, ...]
    without: tuple[AskedAt, ...]
    cost: float


@dataclass(frozen=True, slots=True)
class District:
    """
    Free places by site and day, and what a move between two sites costs, in days waited.

    A day that is not named is closed; nobody moves between sites whose cost is not named.
    """

    free: Mapping[str, Mapping[date, int]]
    apart: Mapping[tuple[str, str], float]


def shared_out(people: Sequence[AskedAt], district: District) -> Shared:
    """
    Return the cheapest site and day for everybody for whom there is one.

    Raises:
        RecordError: No day is named, a cost is below zero or names no site of the district, or
            somebody waits at none of these sites.
    """
    sites = sorted(district.free)
    region = _region(sites, district)
    _refuse_elsewhere(people, sites)
    order = sorted(people, key=lambda e: (e.asked.earliest, e.asked.latest, e.asked.person))
    last = region.first_day + region.capacity.shape[1] - 1
    found = placed_between_sites(
        _waiting(order, last),
        np.array([sites.index(each.home) for each in order], dtype=np.int64),
        np.array([each.may_move for each in order], dtype=np.bool_),
        region,
    )
    rows = zip(order, found.has_place, found.site.tolist(), found.day.tolist(), strict=True)
    placed = [(each, sites[site], day) for each, has, site, day in rows if has]
    given = [
        GivenAt(Given(each.asked, date.fromordinal(day)), each.home, site)
        for each, site, day in placed
    ]
    without = [e for e, has in zip(order, found.has_place, strict=True) if not has]
    return Shared(
        tuple(sorted(given, key=lambda e: (e.given.day, e.site, e.given.asked.person))),
        tuple(sorted(without, key=lambda e: (e.asked.latest, e.asked.person))),
        found.cost,
    )


def _region(sites: Sequence[str], district: District) -> Region:
    days = sorted({day for free in district.free.values() for day in free})
    if not days:
        raise RecordError("no day has places", advice="name days, as in 2026-03-07=300")
    first = days[0].toordinal()
    capacity = np.zeros((len(sites), days[-1].toordinal() - first + 1), dtype=np.int64)
    for row, site in enumerate(sites):
        for day, places in district.free[site].items():
            capacity[row, day.toordinal() - first] = places
    moves = np.full((len(sites), len(sites)), np.inf)
    np.fill_diagonal(moves, 0)
    for (one, other), cost in district.apart.items():
        if cost < 0 or one not in sites or other not in sites:
            raise RecordError(
                f"a move from {one} to {other} at {cost:g} days",
                advice=f"0 or more, between two of {', '.join(sites)}",
            )
        moves[sites.index(one), sites.index(other)] = cost
        moves[sites.index(other), sites.index(one)] = cost
    np.fill_diagonal(moves, 0)
    return Region(first, capacity, moves)


def _refuse_elsewhere(people: Sequence[AskedAt], sites: Sequence[str]) -> None:
    strange = sorted({each.home for each in people}.difference(sites))
    if strange:
        raise RecordError(
            f"people wait at {', '.join(strange)}", advice="say that site's places as well"
        )


def _waiting(order: Sequence[AskedAt], last: int) -> Waiting:
    """Return the windows; whoever is late already may have any day, and the first is best."""
    earliest = np.array([each.asked.earliest.toordinal() for each in order], dtype=np.int64)
    latest = np.array([each.asked.latest.toordinal() for each in order], dtype=np.int64)
    return Waiting(earliest, np.where(latest < earliest, np.maximum(earliest, last), latest))
