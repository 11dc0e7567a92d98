"""
The clocks running on a vial under one protocol, each with what it used and when it ends.

A clock on table time pauses in the fridge and keeps what it used; the others never pause.
A joint cap counts the time during which any of its clocks is using time, once.
"""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from datetime import timedelta
from zoneinfo import ZoneInfo

from thawline.base.durations import Allowance
from thawline.base.instants import Instant, Occurred, midnight_after
from thawline.rules.protocol import AfterOpening, Clock, Protocol, Starts
from thawline.vial.carrying import Trip, carried_before, carry_limits
from thawline.vial.leaving import first_of, leaving_time
from thawline.vial.opening import open_for_certain, punctures
from thawline.vial.stays import Stay, cut, reached, table_stays, used
from thawline.vial.story import Fact, History, Story

LABEL = "label"
TRANSPORT = "transport"


@dataclass(frozen=True, slots=True)
class Running:
    """
    One limit on a vial. `ends` is None while it is paused; `used` is None if not known.

    `limit` says how much is allowed as elapsed time, None for the label.
    """

    clock: str
    item: str | None
    started: Instant | None
    ends: Instant | None
    used: timedelta | None = None
    limit: timedelta | None = None

    def left(self, at: Instant) -> timedelta | None:
        """Return what is left at the instant, never below nothing; None if not known."""
        if self.ends is not None:
            return max(self.ends - at, timedelta())
        if self.limit is None or self.used is None:
            return None
        return max(self.limit - self.used, timedelta())


@dataclass(frozen=True, slots=True)
class Case:
    """The facts of one vial up to an instant, under one protocol."""

    story: Story
    facts: tuple[Fact, ...]
    protocol: Protocol
    at: Instant

    @property
    def zone(self) -> ZoneInfo:
        """The place whose days count."""
        return self.story.zone

    @property
    def arrival(self) -> Fact | None:
        """The chilled arrival, None for a vial that came frozen."""
        return next((fact for fact in self.facts if fact.history), None)

    @property
    def came_with(self) -> History | None:
        """The history that a chilled arrival brought."""
        return self.arrival.history if self.arrival else None


def running_clocks(case: Case, carried: Sequence[Trip]) -> list[Running]:
    """Return every limit that has begun on the vial, in the order ties are settled."""
    clocks = list(_label(case))
    for name, clock in case.protocol.clocks.items():
        if (running := _clock(case, name, clock)) is not None:
            clocks.append(running)
    clocks.extend(_carrying(case, carried))
    clocks.extend(_caps(case))
    return clocks


def _label(case: Case) -> Iterator[Running]:
    if case.story.last_day is not None:
        yield Running(LABEL, None, None, midnight_after(case.story.last_day, case.zone))


def _clock(case: Case, name: str, clock: Clock) -> Running | None:
    if clock.starts_on is Starts.TO_TABLE:
        return _table_clock(case, name, clock)
    started = _started(case, clock)
    if started is None:
        return None
    ends = clock.allows.earliest_end(started.lo, started.hi, case.zone)
    used_so_far, limit = case.at - started.lo, clock.allows.longest()
    return Running(name, clock.item, started.lo, ends, used_so_far, limit)


def _started(case: Case, clock: Clock) -> Occurred | None:
    """Return between when the clock started; None while it has not."""
    if clock.starts_on is Starts.OPEN:
        return first_of(punctures(case.facts))
    left = leaving_time(case.facts)
    return left if left is None or left.lo <= case.at else None


def _table_clock(case: Case, name: str, clock: Clock) -> Running | None:
    stays = _counted(case, clock)
    arrival = case.arrival
    if not stays and arrival is None:
        return None
    started = min((stay.start for stay in stays), default=None) or _lo(arrival)
    return _budgeted(case, (name, clock.item), clock.allows, stays, started)


def _counted(case: Case, clock: Clock) -> list[Stay]:
    stays = table_stays(case.facts, case.at)
    if clock.after_open is AfterOpening.STOPS:
        return cut(stays, open_for_certain(case.facts, case.at))
    return stays


def _budgeted(
    case: Case,
    named: tuple[str, str],
    allows: Allowance,
    stays: list[Stay],
    started: Instant | None,
) -> Running:
    """Return a limit on added-up time, with what an arrival had used of it before."""
    before = case.came_with.room_used if case.came_with else timedelta()
    limit = allows.longest()
    if before is None:
        return Running(*named, started, None, None, limit)
    ends = _lo(case.arrival) if before >= limit else reached(stays, limit - before)
    return Running(*named, started, ends, before + used(stays, case.at), limit)


def _lo(fact: Fact | None) -> Instant | None:
    return fact.when.lo if fact else None


def _caps(case: Case) -> Iterator[Running]:
    for name, cap in case.protocol.caps.items():
        stays: list[Stay] = []
        on_table = False
        for clock in (case.protocol.clocks[each] for each in cap.counts):
            if clock.starts_on is Starts.TO_TABLE:
                stays.extend(_counted(case, clock))
                on_table = True
            elif (begun := _started(case, clock)) is not None:
                stays.append(Stay(begun.lo, None))
        started = min((stay.start for stay in stays), default=None)
        if on_table and case.arrival:
            yield _budgeted(
                case, (name, cap.item), cap.allows, stays, started or _lo(case.arrival)
            )
        elif stays:
            limit = cap.allows.longest()
            ends = reached(stays, limit)
            yield Running(name, cap.item, started, ends, used(stays, case.at), limit)


def _carrying(case: Case, carried: Sequence[Trip]) -> Iterator[Running]:
    """Yield the one clock of the trips that still last; it ends with the first limit."""
    rules = case.protocol.transport
    lasting = [trip for trip in carried if trip.end is None]
    before = carried_before(carried, case.came_with, rules, case.at)
    limits = list(carry_limits(lasting, before, rules))
    if limits:
        ends, item = min(limits)
        started = min(trip.since for trip in lasting)
        yield Running(TRANSPORT, item, started, ends, case.at - started, ends - started)
