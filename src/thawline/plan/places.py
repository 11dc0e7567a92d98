"""
Places for second doses at one site: who comes on which day, nobody before their day.

Each open day, of those whose day has come, the ones with the earliest last day are taken
first. For places that are all alike this rule is exact: where everybody can be placed in time
it does so, and where not, the longest overrun is as short as it can be. With the same window
for everybody it is first come, first served, and the days waited are as few as can be.
See docs/background/second-dose-places.md.
"""

from collections.abc import Iterator
from dataclasses import dataclass
from heapq import heapify, heappop, heappush

import numpy as np
from numpy.typing import NDArray

from thawline.base.errors import RecordError

Days = NDArray[np.int64]
"""Calendar days as ordinals (`date.toordinal`)."""
Counts = NDArray[np.int64]


@dataclass(frozen=True, slots=True, eq=False)
class Waiting:
    """
    People who wait for a place, in their own fair order.

    Args:
        earliest: shape (n,), the first day that a place may be on: day 28, never earlier.
        latest: shape (n,), the last day that keeps the promise.
    """

    earliest: Days
    latest: Days

    def __post_init__(self) -> None:
        if self.earliest.shape != self.latest.shape:
            raise RecordError(
                f"{len(self.earliest)} earliest and {len(self.latest)} latest days",
                advice="give one of each for everybody",
            )
        if np.any(self.latest < self.earliest):
            who = int(np.argmax(self.latest < self.earliest))
            raise RecordError(
                f"person {who}: the last day is before the first", advice="look at both dates"
            )


@dataclass(frozen=True, slots=True, eq=False)
class Placed:
    """
    A day for everybody for whom there is one.

    Args:
        has_place: shape (n,).
        day: shape (n,), the ordinal of the day; 0 where there is no place.
    """

    has_place: NDArray[np.bool_]
    day: Days

    def late(self, waiting: Waiting) -> NDArray[np.int64]:
        """Return who is placed after their last day, the longest overrun first."""
        overrun = np.where(self.has_place, self.day - waiting.latest, 0)
        who = np.flatnonzero(overrun > 0)
        return who[np.argsort(-overrun[who], kind="stable")]


def placed_at_site(waiting: Waiting, first_day: int, capacity: Counts) -> Placed:
    """
    Return a day for everybody, by earliest last day.

    Args:
        waiting: Who waits.
        first_day: The ordinal of the first day that has places.
        capacity: shape (days,), free places on each day from the first on; 0: closed.

    Raises:
        RecordError: A capacity is below zero.
    """
    if np.any(capacity < 0):
        raise RecordError(
            f"fewer than no places on day {int(np.argmax(capacity < 0))}", advice="0 for closed"
        )
    kinds = _kinds(waiting)
    runs = sorted(_runs(kinds, first_day, capacity))
    which = np.array([run[0] for run in runs], dtype=np.int64)
    days = np.array([run[1] for run in runs], dtype=np.int64)
    counts = np.array([run[2] for run in runs], dtype=np.int64)
    return _handed_out(kinds, which, days, counts)


@dataclass(frozen=True, slots=True, eq=False)
class _Kinds:
    """People with the same two days are of one kind; `people` lists them kind by kind."""

    earliest: Days
    latest: Days
    count: Counts
    people: NDArray[np.int64]


def _kinds(waiting: Waiting) -> _Kinds:
    pairs = np.stack([waiting.earliest, waiting.latest], axis=1).reshape(-1, 2)
    span = int(waiting.latest.max(initial=0)) + 1
    keys, of, count = np.unique(
        pairs[:, 0] * span + pairs[:, 1], return_inverse=True, return_counts=True
    )
    return _Kinds(keys // span, keys % span, count, np.argsort(of, kind="stable"))


def _runs(kinds: _Kinds, first_day: int, capacity: Counts) -> Iterator[tuple[int, int, int]]:
    """Yield kind, day and how many of the kind are placed on it, day by day."""
    left = kinds.count.tolist()
    latest, earliest = kinds.latest.tolist(), kinds.earliest.tolist()
    to_come, ready = 0, list[tuple[int, int, int]]()
    heapify(ready)
    for day, open_places in enumerate(capacity.tolist(), first_day):
        places = open_places
        while to_come < len(left) and earliest[to_come] <= day:
            heappush(ready, (latest[to_come], earliest[to_come], to_come))
            to_come += 1
        while places and ready:
            kind = ready[0][2]
            taken = min(places, left[kind])
            yield kind, day, taken
            places -= taken
            left[kind] -= taken
            if not left[kind]:
                heappop(ready)


def _handed_out(kinds: _Kinds, which: Counts, days: Days, counts: Counts) -> Placed:
    """Give each kind's days to its people in their order; the last of a kind may have none."""
    people = len(kinds.people)
    given = np.bincount(which, weights=counts, minlength=len(kinds.count)).astype(np.int64)
    starts = np.cumsum(kinds.count) - kinds.count
    place_in_kind = np.arange(people) - np.repeat(starts, kinds.count)
    lucky = kinds.people[place_in_kind < np.repeat(given, kinds.count)]
    day, has_place = np.zeros(people, dtype=np.int64), np.zeros(people, dtype=np.bool_)
    day[lucky], has_place[lucky] = np.repeat(days, counts), True
    return Placed(has_place, day)
