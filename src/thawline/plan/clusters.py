"""
Bookings close together: how to fill vials where few people come.

A vial is opened for the first comer and ends with its life. Places are gathered in clusters of
one vial's doses, each inside one vial's life, around the times where most are booked already.
It is a proposal: nobody is moved by it. See docs/background/booking-clusters.md.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import timedelta

from thawline.base.errors import RecordError
from thawline.base.instants import Instant
from thawline.plan.attendance import (
    expected_left_over,
    expected_turned_away,
    joined,
    nobody,
)
from thawline.plan.coming import Due, coming
from thawline.plan.opening import OpeningDay, Prices, policy

SLOT = timedelta(minutes=10)
_MOST_PLACES = 600  # a busy day fills its vials by itself; and the search is quadratic


@dataclass(frozen=True, slots=True)
class OneVial:
    """So many booked for one vial and no more: what is wasted, and who has no dose."""

    booked: int
    expected_wasted: float
    expected_turned_away: float


@dataclass(frozen=True, slots=True)
class Cluster:
    """Places from `first` to `last` share a vial: those that stay, and those that move in."""

    first: Instant
    last: Instant
    staying: tuple[Instant, ...]
    moving: tuple[Instant, ...]


@dataclass(frozen=True, slots=True)
class Gathered:
    """The clusters, and the doses wasted on average as booked and as gathered."""

    clusters: tuple[Cluster, ...]
    wasted_as_booked: float
    wasted_gathered: float

    @property
    def moved(self) -> int:
        """Return how many places would move."""
        return sum(len(cluster.moving) for cluster in self.clusters)


def one_vial(doses: int, no_show: float, more: int = 3) -> tuple[OneVial, ...]:
    """Return what one vial means for as many booked as doses, and for up to so many more."""
    found = []
    people = joined(nobody(), [1 - no_show] * doses)
    for booked in range(doses, doses + more + 1):
        wasted, away = expected_left_over(people, doses), expected_turned_away(people, doses)
        found.append(OneVial(booked, wasted, away))
        people = joined(people, [1 - no_show])
    return tuple(found)


def gathered(
    places: Sequence[Instant], no_show: float, doses: int, life: timedelta
) -> Gathered:
    """
    Return the places gathered in clusters of one vial.

    Args:
        places: The times booked.
        no_show: The share that stays away.
        doses: In a vial; a cluster holds as many, so that nobody is without a dose.
        life: How long an opened vial may be used; the last of a cluster comes a slot before.

    Raises:
        RecordError: There are none, too many, or a vial's life is shorter than two slots.
    """
    if not 0 < len(places) <= _MOST_PLACES or life < 2 * SLOT:
        raise RecordError(
            f"{len(places)} places, a vial that lasts {life} once open",
            advice=f"1 to {_MOST_PLACES} places: clusters are for days with few people",
        )
    clusters = _clusters(sorted(places), doses, life - SLOT)
    close = [at for cluster in clusters for at in _kept(cluster)]
    return Gathered(
        clusters=clusters,
        wasted_as_booked=wasted(places, no_show, doses, life),
        wasted_gathered=wasted(close, no_show, doses, life),
    )


def wasted(places: Sequence[Instant], no_show: float, doses: int, life: timedelta) -> float:
    """Return the doses wasted on average when a vial is opened for everybody who asks."""
    start = min(places)
    slots = (max(places) - start) // SLOT + 1
    due = [Due(at, 1 - no_show) for at in places]
    day = OpeningDay(
        arrivals=coming(due, start, SLOT, slots, 0.0),
        doses_per_vial=doses,
        life_slots=life // SLOT,
        hold_most=0,
        standby=0,
        takes=0.0,
    )
    return policy(day, Prices(1.0, 0.0, 0.0)).open_when_asked.doses_wasted


def _clusters(places: list[Instant], doses: int, reach: timedelta) -> tuple[Cluster, ...]:
    """Return clusters, the fullest first picked, filled up with the nearest of the others."""
    left, chosen = list(places), []
    for _ in range(-(-len(places) // doses)):
        runs = [_run(left, start, doses, reach) for start in range(len(left))]
        best = max(runs, key=len)
        left = _without(left, best)
        chosen.append(best)
    found = []
    for staying in chosen:
        moving = sorted(_nearest(left, staying)[: doses - len(staying)])
        left = _without(left, moving)
        found.append(Cluster(staying[0], staying[-1], tuple(staying), tuple(moving)))
    return tuple(sorted(found, key=lambda cluster: cluster.first))


def _run(left: list[Instant], start: int, doses: int, reach: timedelta) -> list[Instant]:
    """Return the places from one on that one vial can serve."""
    return [at for at in left[start : start + doses] if at <= left[start] + reach]


def _nearest(left: Sequence[Instant], run: Sequence[Instant]) -> list[Instant]:
    return sorted(left, key=lambda at: max(run[0] - at, at - run[-1]))


def _without(left: list[Instant], taken: Sequence[Instant]) -> list[Instant]:
    kept = list(left)
    for at in taken:
        kept.remove(at)
    return kept


def _kept(cluster: Cluster) -> list[Instant]:
    """Return the times of a cluster once those who move in have moved to its nearer end."""
    moved = [cluster.first if at < cluster.first else cluster.last for at in cluster.moving]
    return [*cluster.staying, *moved]
