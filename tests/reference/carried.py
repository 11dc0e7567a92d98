"""Trips of a vial that has left the freezer: how many, by what, and for how long."""

from typing import NamedTuple

from tests.reference.facts import Fact, Handling
from tests.reference.limits import Limit
from tests.reference.wall_clock import MINUTE
from tests.reference.wall_clock import length as span

from thawline.rules.protocol import Protocol


class Trip(NamedTuple):
    """One trip: its start, its end (None while it lasts), since when it counts, and by what."""

    start: Fact
    end: Fact | None
    since: int
    by: set[str | None]  # all that may be said of it; None: nobody said

    def length(self, at: int) -> int:
        """Return its length at the longest, never below nothing."""
        return max(0, (at if self.end is None else self.end.hi) - self.since)


def trips(handling: Handling) -> list[Trip]:
    """Return the trips that count: once the vial has left, those not over before it did."""
    if not handling.leavings:
        return []
    return [
        _trip(handling, start)
        for start in handling.all_of("transport-start")
        if handling.thaw_start_unknown or not _over_before_leaving(handling, start)
    ]


def _ends(handling: Handling, start: Fact) -> list[Fact]:
    """Return the ends that are certainly after the start."""
    return [end for end in handling.all_of("transport-end") if end.certainly_after(start)]


def _over_before_leaving(handling: Handling, start: Fact) -> bool:
    ended = [end for end in _ends(handling, start) if end.hi <= handling.at]
    return any(handling.certainly_left_after(end) for end in ended)


def _trip(handling: Handling, start: Fact) -> Trip:
    ended = [end for end in _ends(handling, start) if end.hi <= handling.at]
    end = min(ended, key=lambda fact: fact.hi, default=None)
    since = start.lo if handling.thaw_start_unknown else max(start.lo, handling.left)
    return Trip(start, end, since, _named(handling, start, lasts=end is None))


def _named(handling: Handling, start: Fact, *, lasts: bool) -> set[str | None]:
    """Return what each end that may be the trip's says, else the start; None: neither."""
    at_start = start.more.get("by")
    certain = _ends(handling, start)
    named = {
        end.more.get("by") or at_start
        for end in handling.all_of("transport-end")
        if not start.certainly_after(end)
        and not any(end.certainly_after(earlier) for earlier in certain)
    }
    return named | {at_start} if lasts else named


def most_allowed(trip: Trip, protocol: Protocol) -> int | None:
    """Return the longest that the trip may last; None where its mode is not allowed at all."""
    modes = protocol.transport.by
    times = {name: span(m.allows.elapsed) for name, m in modes.items() if m.allows is not None}
    times |= {None: min(times.values())} if times else {}
    if any(by not in times for by in trip.by):
        return None
    return min(times[by] for by in trip.by)


def _brought(handling: Handling, allowed: int) -> int:
    """Return the time carried before the vial came; not known counts as all that is allowed."""
    brought = [arrival.more.get("transport_used_min") for arrival in handling.chilled_arrivals]
    return sum(allowed if minutes is None else minutes * MINUTE for minutes in brought)


def _trips_in_all(handling: Handling, most: int) -> int:
    """Return how many trips, with those before; not known counts as the most allowed."""
    brought = [arrival.more.get("trips_used") for arrival in handling.chilled_arrivals]
    return len(trips(handling)) + sum(most if count is None else count for count in brought)


def findings(handling: Handling, protocol: Protocol) -> set[str]:
    """Return the codes of what is wrong with how the vial was carried."""
    codes = set().union(*(_of_one(handling, trip, protocol) for trip in trips(handling)))
    count, total = protocol.transport.trips, protocol.transport.total
    if count is not None and _trips_in_all(handling, count.most) > count.most:
        codes.add("one-trip-only")
    if total is not None:
        allowed = span(total.allows.elapsed)
        lengths = sum(trip.length(handling.at) for trip in trips(handling))
        if _brought(handling, allowed) + lengths > allowed:
            codes.add("carried-too-long-in-all")
    return codes


def _of_one(handling: Handling, trip: Trip, protocol: Protocol) -> set[str]:
    codes = set()
    punctured = protocol.transport.punctured
    may = punctured is not None and punctured.may
    if not may and handling.opened is not None and trip.start.hi >= handling.opened:
        codes.add("punctured-not-carried")
    allowed = most_allowed(trip, protocol)
    if allowed is None:
        codes.add("mode-not-allowed")
    elif trip.length(handling.at) > allowed:
        codes.add("carried-too-long")
    return codes


def trip_clock(handling: Handling, protocol: Protocol) -> list[Limit]:
    """Return the clock shown while a trip lasts; it ends with the first limit reached."""
    made = trips(handling)
    lasting = [trip for trip in made if trip.end is None]
    if not lasting:
        return []
    ends = [
        trip.since + allowed
        for trip in lasting
        if (allowed := most_allowed(trip, protocol)) is not None
    ]
    started = min(trip.since for trip in lasting)
    if protocol.transport.total is not None:
        ends.append(_total_reached(handling, protocol))
    end = min(ends, default=None)
    allowed = 0 if end is None else end - started
    return [Limit("transport", None, started, end, handling.at - started, allowed)]


def _total_reached(handling: Handling, protocol: Protocol) -> int:
    """Return when all trips are enough, not before what still lasts began."""
    allowed = span(protocol.transport.total.allows.elapsed)
    wanted = allowed - _brought(handling, allowed)
    made = trips(handling)
    early = min(trip.since for trip in made if trip.end is None)
    late = max(trip.since for trip in made) + allowed
    if sum(trip.length(early) for trip in made) >= wanted:
        return early
    while late - early > 1:
        middle = (early + late) // 2
        enough = sum(trip.length(middle) for trip in made) >= wanted
        early, late = (early, middle) if enough else (middle, late)
    return late
