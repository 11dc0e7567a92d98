"""What sets an end to a vial: the label, each clock and each cap, asked by definition."""

from collections.abc import Callable
from itertools import pairwise
from typing import NamedTuple

from tests.reference.facts import Handling
from tests.reference.wall_clock import DAY, MINUTE, days_on, end_of_label, length, offset

from thawline.rules.protocol import AfterOpening, Clock, Protocol, Starts

FOREVER = 2**62


class Limit(NamedTuple):
    """A clock, a cap or the label: since when, until when, and how much is used at `at`."""

    name: str
    item: str | None
    started: int
    ends: int | None
    used: int
    allowed: int


def label(handling: Handling) -> Limit:
    """Return the end of the last day printed on the label."""
    ends = end_of_label(handling.expiry, handling.zone)
    return Limit("label", None, -FOREVER, ends, 0, 0)


def counts_at(handling: Handling, clock: Clock, instant: int) -> bool:
    """Say whether a clock is using time at the instant."""
    if clock.starts_on == Starts.LEAVES_FROZEN:
        return handling.left is not None and handling.left <= instant
    if clock.starts_on == Starts.OPEN:
        return handling.opened is not None and handling.opened <= instant
    stopped = clock.after_open == AfterOpening.STOPS and handling.surely_open(instant)
    return not stopped and any(start <= instant < end for start, end in handling.stays)


def _marks(handling: Handling) -> list[int]:
    """Every instant at which any clock can begin or cease to use time."""
    marks = {edge for stay in handling.stays for edge in stay}
    marks |= {handling.left, handling.opened, handling.opened_hi, FOREVER} - {None}
    return sorted(marks)


def _used(counting: Callable[[int], bool], marks: list[int], until: int) -> int:
    pieces = pairwise([*(mark for mark in marks if mark < until), until])
    return sum(end - start for start, end in pieces if counting(start))


def _reached(counting: Callable[[int], bool], marks: list[int], wanted: int) -> int | None:
    """Return the first instant by which the time counted is as much as wanted."""
    for start, end in pairwise(marks):
        if not counting(start):
            continue
        if end == FOREVER or end - start >= wanted:
            return start + wanted
        wanted -= end - start
    return None


def clocks(handling: Handling, protocol: Protocol) -> list[Limit]:
    """Return the clocks that have started, in the file's order."""
    rows = [_clock(handling, name, clock) for name, clock in protocol.clocks.items()]
    return [row for row in rows if row is not None]


def _clock(handling: Handling, name: str, clock: Clock) -> Limit | None:
    if clock.starts_on == Starts.TO_TABLE:
        return _adding_up(handling, name, clock.item, [clock], length(clock.allows.elapsed))
    left = clock.starts_on == Starts.LEAVES_FROZEN
    spans = handling.left_spans if left else handling.opened_spans
    if not spans:
        return None
    started = min(lo for lo, _ in spans)
    ends = _days_end(handling, clock, started, min(hi for _, hi in spans))
    return Limit(name, clock.item, started, ends, handling.at - started, ends - started)


def _days_end(handling: Handling, clock: Clock, earliest: int, latest: int) -> int:
    """Return the earliest end that any start between the two has, tried minute by minute."""
    days, elapsed = clock.allows.days, length(clock.allows.elapsed)
    if not days:
        return earliest + elapsed
    starts = [earliest]
    near = [t + n * DAY for t in (earliest, latest) for n in (-1, 1, days - 1, days + 1)]
    if len({offset(instant, handling.zone) for instant in near}) > 1:
        whole = range(earliest - earliest % MINUTE + MINUTE, latest + 1, MINUTE)
        starts = [earliest, *whole, latest]
    return min(days_on(start, days, handling.zone) for start in starts) + elapsed


def caps(handling: Handling, protocol: Protocol) -> list[Limit]:
    """Return the joint caps that have started, in the file's order."""
    rows = []
    for name, cap in protocol.caps.items():
        members = [protocol.clocks[member] for member in cap.counts]
        allowed = length(cap.allows.longest())
        row = _adding_up(handling, name, None, members, allowed)
        rows += [] if row is None else [row]
    return rows


def _adding_up(
    handling: Handling, name: str, item: str | None, members: list[Clock], allowed: int
) -> Limit | None:
    """Add up the time at which any member counts, each minute once, and what was brought."""

    def counting(instant: int) -> bool:
        return any(counts_at(handling, member, instant) for member in members)

    at_table = any(member.starts_on == Starts.TO_TABLE for member in members)
    brought = handling.room_used if at_table else 0
    marks = _marks(handling)
    begun = [mark for mark in marks if mark != FOREVER and counting(mark)]
    begun += [arrival.lo for arrival in handling.chilled_arrivals] if brought else []
    if not begun:
        return None
    reached = _reached(counting, marks, allowed - min(brought, allowed))
    ends = handling.chilled_arrivals[0].lo if brought >= allowed else reached
    used = brought + _used(counting, marks, handling.at)
    return Limit(name, item, min(begun), ends, used, allowed)
