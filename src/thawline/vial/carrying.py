"""Trips of a vial that has left the freezer, and the limits the protocol sets on them."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from datetime import timedelta

from thawline.base.durations import spoken
from thawline.base.findings import Finding, Level
from thawline.base.instants import Instant
from thawline.rules.protocol import Transport
from thawline.vial.order import followers, numbered
from thawline.vial.story import Fact, History, What


@dataclass(frozen=True, slots=True)
class Trip:
    """One carry: from its earliest start to its latest end; no end means it still lasts."""

    start: Fact
    end: Fact | None

    @property
    def by(self) -> str | None:
        """How it was carried, None when nobody said."""
        return (self.end and self.end.by) or self.start.by

    def length(self, at: Instant) -> timedelta:
        """Return the longest it can have lasted up to the instant."""
        return (self.end.when.hi if self.end else at) - self.start.when.lo


def trips(facts: Sequence[Fact], left: Instant | None) -> list[Trip]:
    """
    Return the trips that were not certainly over before the vial left the freezer.

    Where nobody knows when a vial that came chilled was thawed, every trip counts.
    """
    thaw_not_known = any(fact.history and fact.history.thawed_at is None for fact in facts)
    if left is None and not thaw_not_known:
        return []
    ends = numbered(facts, What.TRANSPORT_END)
    return [
        Trip(start[1], min((e for _, e in followers(start, ends)), key=_latest, default=None))
        for start in numbered(facts, What.TRANSPORT_START)
        if thaw_not_known or left is None or start[1].when.hi >= left
    ]


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
        if (mode := _mode(trip, rules)) and (allows := rules.by[mode].allows):
            yield Instant(trip.start.when.lo + allows.longest()), rules.by[mode].item
    if rules.total and lasting:
        left = max(rules.total.allows.longest() - before, timedelta())
        yield _used_up([trip.start.when.lo for trip in lasting], left), rules.total.item


def _used_up(starts: Sequence[Instant], left: timedelta) -> Instant:
    """Return when trips begun at these instants have together taken what is left."""
    since, *later = sorted(starts)
    for running, following in enumerate(later, 1):
        if running * (following - since) >= left:
            return Instant(since + left / running)
        left -= running * (following - since)
        since = following
    return Instant(since + left / len(starts))


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
    mode = _mode(trip, rules)
    allows = rules.by[mode].allows if mode in rules.by else None
    if mode is None or allows is None:
        item = rules.by[mode].item if mode in rules.by else None
        how = f"by {trip.by}" if trip.by else "in a way that nobody named"
        says = f"carried {how}, which the protocol does not allow"
        yield Finding(Level.STOP, "mode-not-allowed", says, item)
    elif (length := trip.length(at)) > allows.longest():
        says = f"carried by {mode} for {spoken(length)}; at most {spoken(allows.longest())}"
        yield Finding(Level.STOP, "carried-too-long", says, rules.by[mode].item)


def _mode(trip: Trip, rules: Transport) -> str | None:
    """Return the mode whose limit counts: the one named, else the strictest that is allowed."""
    if trip.by is not None:
        return trip.by if trip.by in rules.by else None
    allowed = {name: mode.allows.longest() for name, mode in rules.by.items() if mode.allows}
    return min(allowed, key=lambda name: allowed[name], default=None)


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
