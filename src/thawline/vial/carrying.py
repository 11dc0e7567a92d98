"""Trips of a vial that has left the freezer, and the limits the protocol sets on them."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from datetime import timedelta

from thawline.base.durations import spoken
from thawline.base.findings import Finding, Level
from thawline.base.instants import Instant
from thawline.rules.protocol import Mode, Transport
from thawline.vial.leaving import left_after, left_frozen
from thawline.vial.order import Numbered, certainly_after, followers, numbered
from thawline.vial.story import Fact, History, What


@dataclass(frozen=True, slots=True)
class Trip:
    """
    One carry: from where it counts to its latest end; no end means it still lasts.

    `ways` is how it may have been carried, None among them where perhaps nobody said.
    """

    start: Fact
    end: Fact | None
    since: Instant
    ways: frozenset[str | None]

    def length(self, at: Instant) -> timedelta:
        """Return the longest it can have lasted up to the instant."""
        return max((self.end.when.hi if self.end else at) - self.since, timedelta())


def trips(facts: Sequence[Fact], at: Instant) -> list[Trip]:
    """
    Return the trips that were not certainly over before the vial left the freezer.

    Each counts from the leaving on. Where nobody knows when a vial that came chilled was
    thawed, every trip counts, from its start.
    """
    left = left_frozen(facts)
    if left is None:
        return []
    thaw_not_known = any(fact.history and fact.history.thawed_at is None for fact in facts)
    ends = numbered(facts, What.TRANSPORT_END)
    counted = []
    for start in numbered(facts, What.TRANSPORT_START):
        over = [each for each in followers(start, ends) if each[1].when.hi <= at]
        if thaw_not_known or not any(left_after(each, facts) for each in over):
            end = min((fact for _, fact in over), key=_latest, default=None)
            since = start[1].when.lo if thaw_not_known else max(start[1].when.lo, left)
            ways = frozenset(_ways(start, ends, lasts=end is None))
            counted.append(Trip(start[1], end, since, ways))
    return counted


def _ways(start: Numbered, ends: Sequence[Numbered], *, lasts: bool) -> Iterator[str | None]:
    """Yield how each end that may be the trip's names it, and how a trip without one does."""
    certain = list(followers(start, ends))
    for end in ends:
        began_later = certainly_after(start, end)
        if not began_later and not any(certainly_after(end, other) for other in certain):
            yield end[1].by or start[1].by
    if lasts:
        yield start[1].by


def carry_findings(
    carried: Sequence[Trip],
    came_with: History | None,
    opened: Instant | None,
    rules: Transport,
    at: Instant,
) -> Iterator[Finding]:
    """Yield what the protocol says against the trips; `came_with` counts as carried before."""
    yield from _too_many(len(carried) + _trips_before(came_with, rules), rules)
    yield from _too_long_in_all(carried, came_with, rules, at)
    for trip in carried:
        if opened and trip.start.when.hi >= opened and not _may_carry_open(rules):
            item = rules.punctured.item if rules.punctured else None
            says = "a punctured vial was carried; it is never carried"
            yield Finding(Level.STOP, "punctured-not-carried", says, item)
        yield from _one_trip(trip, rules, at)


def carry_limits(
    lasting: Sequence[Trip], before: timedelta, rules: Transport
) -> Iterator[tuple[Instant, str]]:
    """
    Yield when each limit on the trips that still last is reached, with the limit's item.

    Args:
        lasting: Trips without an end; what they take counts together against the total.
        before: Carrying time used by trips that ended.
        rules: The protocol's limits.
    """
    for trip in lasting:
        _, mode = _strictest(trip, rules)
        if mode and mode.allows:
            yield Instant(trip.since + mode.allows.longest()), mode.item
    if rules.total and lasting:
        left = max(rules.total.allows.longest() - before, timedelta())
        yield _used_up([trip.since for trip in lasting], left), rules.total.item


def _used_up(starts: Sequence[Instant], left: timedelta) -> Instant:
    """Return when trips begun at these instants have together taken what is left."""
    since, *later = sorted(starts)
    for running, following in enumerate(later, 1):
        if running * (following - since) >= left:
            return Instant(since + _shared(left, running))
        left -= running * (following - since)
        since = following
    return Instant(since + _shared(left, len(starts)))


def _shared(left: timedelta, trips: int) -> timedelta:
    """Return how long trips side by side take to use up what is left, not less."""
    return -(-left // trips)


def carried_before(
    carried: Sequence[Trip], came_with: History | None, rules: Transport, at: Instant
) -> timedelta:
    """Return the time in carrying that was used by trips that ended, and before arrival."""
    ended = sum((trip.length(at) for trip in carried if trip.end), timedelta())
    return ended + _time_before(came_with, rules)


def _latest(fact: Fact) -> Instant:
    return fact.when.hi


def _too_many(count: int, rules: Transport) -> Iterator[Finding]:
    if rules.trips and count > rules.trips.most:
        says = f"carried {count} times after leaving the freezer; at most {rules.trips.most}"
        yield Finding(Level.STOP, "one-trip-only", says, rules.trips.item)


def _too_long_in_all(
    carried: Sequence[Trip], came_with: History | None, rules: Transport, at: Instant
) -> Iterator[Finding]:
    if rules.total is None:
        return
    length = sum((trip.length(at) for trip in carried), _time_before(came_with, rules))
    if length > rules.total.allows.longest():
        most = spoken(rules.total.allows.longest())
        says = f"carried for {spoken(length)} in all; at most {most}"
        yield Finding(Level.STOP, "carried-too-long-in-all", says, rules.total.item)


def _one_trip(trip: Trip, rules: Transport, at: Instant) -> Iterator[Finding]:
    way, mode = _strictest(trip, rules)
    if mode is None or mode.allows is None:
        how = f"by {way}" if way else "in a way that nobody named"
        says = f"carried {how}, which the protocol does not allow"
        yield Finding(Level.STOP, "mode-not-allowed", says, mode.item if mode else None)
    elif (length := trip.length(at)) > mode.allows.longest():
        most = spoken(mode.allows.longest())
        says = f"carried by {way} for {spoken(length)}; at most {most}"
        yield Finding(Level.STOP, "carried-too-long", says, mode.item)


_Way = tuple[str | None, Mode | None]
"""A way of carrying by its name, with what the protocol says of it; None: nothing."""


def _strictest(trip: Trip, rules: Transport) -> _Way:
    """Return the way whose limit counts: one that is not allowed, else the shortest."""
    allowed: list[_Way] = [each for each in rules.by.items() if each[1].allows]
    not_named = min(allowed, key=_limit, default=(None, None))
    ways = [not_named if name is None else (name, rules.by.get(name)) for name in trip.ways]
    return min(ways, key=_limit)


def _limit(way: _Way) -> tuple[timedelta, str]:
    name, mode = way
    return mode.allows.longest() if mode and mode.allows else _NOT_ALLOWED, name or ""


_NOT_ALLOWED = timedelta.min  # stricter than any limit


def _may_carry_open(rules: Transport) -> bool:
    return rules.punctured is not None and rules.punctured.may


def _trips_before(came_with: History | None, rules: Transport) -> int:
    if came_with is None:
        return 0
    if came_with.trips_used is None:
        return rules.trips.most if rules.trips else 0
    return came_with.trips_used


def _time_before(came_with: History | None, rules: Transport) -> timedelta:
    if came_with is None:
        return timedelta()
    if came_with.transport_used is None:
        return rules.total.allows.longest() if rules.total else timedelta()
    return came_with.transport_used
