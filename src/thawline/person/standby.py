"""
The standby list: who would come at short notice, and who is called next.

The order is the site's priority where it set one, then the time of entry; nothing else. Who
was called is not called again that day, whatever the answer, and who lives too far away to be
here before the use-by is passed over, not put behind. See docs/background/standby.md.
"""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import date, timedelta
from enum import StrEnum
from zoneinfo import ZoneInfo

from msgspec import Struct
from msgspec.structs import replace

from thawline.base.instants import Instant, from_ms, local_date
from thawline.ledger.entries import Entry
from thawline.ledger.events import Event
from thawline.ledger.standby_events import StandbyAdded, StandbyCalled


class Answered(StrEnum):
    """What came of a call."""

    COMES = "comes"
    NO = "no"
    NO_ANSWER = "no-answer"


class Call(Struct, frozen=True):
    """One call to somebody on the list."""

    at_ms: int
    answer: str


class StandbyState(Struct, frozen=True):
    """One person on the list; the place in it is that of the first entry."""

    added_ms: int | None = None
    seq: int = 0
    travel_min: int = 0
    priority: int | None = None
    calls: tuple[Call, ...] = ()


class StandbyFold:
    """Entries to `StandbyState`, by the person's code."""

    name = "standby"
    state_type = StandbyState

    @property
    def kinds(self) -> frozenset[type[Event]]:
        """Return the events that can touch one."""
        return frozenset({StandbyAdded, StandbyCalled})

    def keys(self, event: Event) -> tuple[str, ...]:
        """Return the person the event is about; nothing for other events."""
        return (event.person,) if isinstance(event, StandbyAdded | StandbyCalled) else ()

    def step(self, key: str, state: StandbyState | None, entry: Entry) -> StandbyState:  # noqa: ARG002
        """Return the person's state after the entry."""
        before = state or StandbyState()
        event = entry.event
        if isinstance(event, StandbyAdded):
            first = before.added_ms is None
            return replace(
                before,
                added_ms=entry.lo_ms if first else before.added_ms,
                seq=entry.seq if first else before.seq,
                travel_min=event.travel_min,
                priority=event.priority,
            )
        assert isinstance(event, StandbyCalled)  # noqa: S101  `keys` lets nothing else through
        call = Call(entry.hi_ms, event.answer)
        return replace(before, calls=(*before.calls, call))


STANDBY = StandbyFold()
"""The one fold of the standby list; it keeps nothing between calls."""


@dataclass(frozen=True, slots=True)
class Waiting:
    """Somebody who may still be called today, and when they could be here."""

    person: str
    priority: int | None
    added: Instant
    here_at: Instant


@dataclass(frozen=True, slots=True)
class OnTheWay:
    """Somebody who was called today and said that they come."""

    person: str
    here_at: Instant


@dataclass(frozen=True, slots=True)
class List:
    """The list at a moment: who may be called, in order, and who is on the way."""

    waiting: tuple[Waiting, ...]
    on_the_way: tuple[OnTheWay, ...]

    def can_be_here(self, by: Instant) -> tuple[Waiting, ...]:
        """Return who could be here before an instant, in order."""
        return tuple(each for each in self.waiting if each.here_at < by)


def list_at(
    states: Iterable[tuple[str, StandbyState]],
    had_dose: Sequence[str] | frozenset[str],
    now: Instant,
    zone: ZoneInfo,
) -> List:
    """
    Return the list as it stands, without those who had a dose.

    Args:
        states: Everybody ever put on it, by their code.
        had_dose: Who had a dose since.
        now: The moment; its local day counts for "called today".
        zone: The site's.
    """
    today = local_date(now, zone)
    here = [
        (person, state)
        for person, state in states
        if person not in had_dose and state.added_ms is not None
    ]
    here.sort(key=lambda each: _order(each[1]))
    return List(
        waiting=tuple(
            _waiting(person, state, now)
            for person, state in here
            if not called_on(state, today, zone)
        ),
        on_the_way=tuple(
            OnTheWay(person, _after(from_ms(calls[-1].at_ms), state))
            for person, state in here
            if (calls := called_on(state, today, zone)) and calls[-1].answer == Answered.COMES
        ),
    )


def called_on(state: StandbyState, day: date, zone: ZoneInfo) -> list[Call]:
    """Return the calls to a person on a local day."""
    return [call for call in state.calls if local_date(from_ms(call.at_ms), zone) == day]


def _order(state: StandbyState) -> tuple[bool, int, int, int]:
    """Return the place in the list: the site's priority, then time of entry, then the entry."""
    priority = state.priority
    return (priority is None, priority or 0, state.added_ms or 0, state.seq)


def _waiting(person: str, state: StandbyState, now: Instant) -> Waiting:
    assert state.added_ms is not None  # noqa: S101  only those put on the list come here
    return Waiting(person, state.priority, from_ms(state.added_ms), _after(now, state))


def _after(at: Instant, state: StandbyState) -> Instant:
    return Instant(at + timedelta(minutes=state.travel_min))
