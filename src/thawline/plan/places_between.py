"""
Places for second doses at several sites at once: the cheapest plan there is, exactly.

People with the same site, days and wishes are of one kind; kinds are carried to site and day
as in a transportation problem, whose optimum comes out in whole people. A day waited costs
one, a move to another site what the table of moves says, and nobody is ever placed before
their day: there is no variable for it. See docs/background/second-dose-places.md.
"""

from dataclasses import dataclass
from typing import Any

import numpy as np
from numpy.typing import NDArray
from scipy.optimize import linprog
from scipy.sparse import coo_array

from thawline.base.errors import RecordError
from thawline.plan.places import Counts, Days, Waiting

_NO_PLACE = 1_000_000.0  # dearer than any wait: a place is only refused where there is none
_WHOLE = 1e-6

_NOBODY = np.zeros((0, 4), dtype=np.int64)

Moves = NDArray[np.float64]
"""Shape (sites, sites): cost of moving there, in days waited; infinite: never."""


@dataclass(frozen=True, slots=True, eq=False)
class Region:
    """
    The places of several sites.

    Args:
        first_day: The ordinal of the first day.
        capacity: shape (sites, days), free places; 0: closed.
        moves: What a move costs, 0 on the diagonal.
    """

    first_day: int
    capacity: Counts
    moves: Moves

    def __post_init__(self) -> None:
        sites = len(self.capacity)
        if self.moves.shape != (sites, sites) or np.any(self.capacity < 0):
            raise RecordError(
                f"capacities {self.capacity.shape} and moves {self.moves.shape} do not fit",
                advice="one row a site, a square table of moves, no capacity below zero",
            )


@dataclass(frozen=True, slots=True, eq=False)
class PlacedBetween:
    """
    Site and day for everybody for whom there is one.

    `cost`: days waited plus costs of moves, of those with a place. Arrays of shape (n,); site
    and day are 0 where `has_place` is false.
    """

    has_place: NDArray[np.bool_]
    site: NDArray[np.int64]
    day: Days
    cost: float


def placed_between_sites(
    waiting: Waiting, home: NDArray[np.int64], may_move: NDArray[np.bool_], region: Region
) -> PlacedBetween:
    """
    Return the cheapest site and day for everybody; nothing where nobody waits.

    Args:
        waiting: Who waits, each in their own window; a place is never outside it.
        home: shape (n,), the index of each person's own site.
        may_move: shape (n,), whether another site will do (a group, a need may say no).
        region: The sites.

    Raises:
        RecordError: The solver found no optimum.
    """
    if not home.size:  # a linear programme has one variable at least
        return _handed_out(_arcs(_NOBODY, region), home, home, home)
    kinds, of, count = _kinds(waiting, home, may_move)
    arcs = _arcs(kinds, region)
    flow = _cheapest(arcs, count, region)
    return _handed_out(arcs, flow, of, count)


def _kinds(
    waiting: Waiting, home: NDArray[np.int64], may_move: NDArray[np.bool_]
) -> tuple[NDArray[np.int64], NDArray[np.int64], Counts]:
    """Return kinds (home, earliest, latest, may move), each person's kind, their numbers."""
    rows = np.stack([home, waiting.earliest, waiting.latest, may_move.astype(np.int64)])
    low = rows.min(axis=1, initial=0)
    sizes = tuple((rows.max(axis=1, initial=0) - low + 1).tolist())
    keys, of, count = np.unique(
        np.ravel_multi_index(tuple(rows - low[:, None]), sizes),
        return_inverse=True,
        return_counts=True,
    )
    kinds = np.stack(np.unravel_index(keys, sizes), axis=1) + low
    return kinds, of, count


@dataclass(frozen=True, slots=True, eq=False)
class _Arcs:
    """Which kind may go to which site on which day (an offset), and at what cost."""

    kind: NDArray[np.int64]
    site: NDArray[np.int64]
    offset: NDArray[np.int64]
    cost: NDArray[np.float64]
    first_day: int


def _arcs(kinds: NDArray[np.int64], region: Region) -> _Arcs:
    sites, days = region.capacity.shape
    home, earliest, latest, may_move = kinds.T
    there = np.isfinite(region.moves[home]) & (
        (may_move[:, None] == 1) | (np.arange(sites)[None, :] == home[:, None])
    )
    kind, site = np.nonzero(there)
    lo = np.maximum(earliest[kind] - region.first_day, 0)
    hi = np.minimum(latest[kind] - region.first_day, days - 1)
    lengths = np.maximum(hi - lo + 1, 0)
    pair = np.repeat(np.arange(len(kind)), lengths)
    step = np.arange(len(pair)) - np.repeat(np.cumsum(lengths) - lengths, lengths)
    kind, site, offset = kind[pair], site[pair], lo[pair] + step
    is_open = region.capacity[site, offset] > 0
    kind, site, offset = kind[is_open], site[is_open], offset[is_open]
    waited = offset + region.first_day - earliest[kind]
    return _Arcs(kind, site, offset, waited + region.moves[home[kind], site], region.first_day)


def _cheapest(arcs: _Arcs, count: Counts, region: Region) -> Counts:
    """Return how many people go along each arc, at the least cost."""
    kinds, (_, days) = len(count), region.capacity.shape
    cells, cell = np.unique(arcs.site * days + arcs.offset, return_inverse=True)
    arc = np.arange(len(arcs.kind))
    none = np.arange(kinds)
    everybody: Any = coo_array(  # the stubs of linprog know no sparse matrix, linprog does
        (
            np.ones(len(arc) + kinds),
            (np.concatenate([arcs.kind, none]), np.concatenate([arc, len(arc) + none])),
        ),
        shape=(kinds, len(arc) + kinds),
    )
    places: Any = coo_array(
        (np.ones(len(arc)), (cell, arc)), shape=(len(cells), len(arc) + kinds)
    )
    found = linprog(
        np.concatenate([arcs.cost, np.full(kinds, _NO_PLACE)]),
        A_ub=places.tocsr(),
        b_ub=region.capacity.reshape(-1)[cells].astype(np.float64),
        A_eq=everybody.tocsr(),
        b_eq=count.astype(np.float64),
        method="highs",
    )
    if found.status != 0 or found.x is None:
        raise RecordError(
            f"no plan was found: {found.message}", advice="look at the capacities"
        )
    carried = np.asarray(found.x[: len(arc)], dtype=np.float64)
    flow = np.rint(carried).astype(np.int64)
    assert np.all(np.abs(flow - carried) < _WHOLE)  # noqa: S101  such problems end in whole people
    return flow


def _handed_out(
    arcs: _Arcs, flow: Counts, of: NDArray[np.int64], count: Counts
) -> PlacedBetween:
    """Give each kind's places to its people in their order, earlier days first."""
    used = np.flatnonzero(flow)
    used = used[np.lexsort((arcs.site[used], arcs.offset[used], arcs.kind[used]))]
    people = np.argsort(of, kind="stable")
    given = np.bincount(arcs.kind[used], weights=flow[used], minlength=len(count))
    starts = np.cumsum(count) - count
    place_in_kind = np.arange(len(people)) - np.repeat(starts, count)
    lucky = people[place_in_kind < np.repeat(given, count)]
    along = np.repeat(used, flow[used])
    has_place = np.zeros(len(people), dtype=np.bool_)
    site, day = (np.zeros(len(people), dtype=np.int64) for _ in range(2))
    has_place[lucky], site[lucky] = True, arcs.site[along]
    day[lucky] = arcs.offset[along] + arcs.first_day
    return PlacedBetween(has_place, site, day, float(arcs.cost[used] @ flow[used]))
