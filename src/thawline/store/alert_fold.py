"""
How entries become the alerts of each unit, their answers, and the test calls of the nights.

A unit keeps what goes on, what nobody has taken on, and the last alert of each cause; all
others are in the journal.
"""

from collections.abc import Iterable

from msgspec import Struct
from msgspec.structs import replace

from thawline.base.instants import Instant, from_ms
from thawline.ledger.alert_events import (
    AlertAnswered,
    AlertCleared,
    AlertRaised,
    TestCallAnswered,
)
from thawline.ledger.entries import Entry
from thawline.ledger.events import Event
from thawline.store.alerts import Alert, Cause
from thawline.store.calls import Answered, owner
from thawline.store.nights import TestCall

NIGHTS = "nights"
_KEPT_TEST_CALLS = 50  # a name for each of some weeks of nights; the journal has them all


class ToldAnswer(Struct, frozen=True):
    """What somebody answered about a unit, and whether they took it on."""

    by: str
    at_ms: int
    says: str
    takes: bool


class ToldAlert(Struct, frozen=True):
    """
    An alert as recorded, with every answer to it.

    `told_ms`: when it was recorded, and whoever looks could know of it. Where that is later
    than `raised_ms`, as with a file that is fetched in the morning, calls begin then.
    """

    cause: str
    since_ms: int
    raised_ms: int
    told_ms: int
    temp_mc: int | None = None
    cleared_ms: int | None = None
    answers: tuple[ToldAnswer, ...] = ()

    @property
    def alert(self) -> Alert:
        """Return the alert as the watching knows it."""
        cause = Cause(self.cause)
        return Alert(cause, self.since_ms, self.raised_ms, self.temp_mc, self.cleared_ms)

    @property
    def answered(self) -> tuple[Answered, ...]:
        """Return the answers as the call chain knows them."""
        return tuple(Answered(a.by, from_ms(a.at_ms), a.takes) for a in self.answers)

    @property
    def calls_from(self) -> Instant:
        """Return when its first call was due and could be known."""
        return from_ms(max(self.raised_ms, self.told_ms))

    @property
    def is_owned(self) -> bool:
        """Say whether somebody took it on."""
        return owner(self.answered) is not None

    @property
    def stands(self) -> bool:
        """Say whether somebody still has to see to it: it goes on, or nobody took it on."""
        return self.cleared_ms is None or not self.is_owned


class UnitAlerts(Struct, frozen=True):
    """The alerts of one unit, in the order they were recorded."""

    alerts: tuple[ToldAlert, ...] = ()


class AlertFold:
    """Entries to `UnitAlerts`, by the unit's name."""

    name = "alert"
    state_type = UnitAlerts

    @property
    def kinds(self) -> frozenset[type[Event]]:
        """Return the events that can touch one."""
        return frozenset({AlertRaised, AlertCleared, AlertAnswered})

    def keys(self, event: Event) -> tuple[str, ...]:
        """Return the unit of an event about alerts."""
        if isinstance(event, AlertRaised | AlertCleared | AlertAnswered):
            return (event.unit,)
        return ()

    def step(self, key: str, state: UnitAlerts | None, entry: Entry) -> UnitAlerts:  # noqa: ARG002
        """Return the unit's alerts after the entry; raised twice, an alert is there once."""
        told, event = (state or UnitAlerts()).alerts, entry.event
        if isinstance(event, AlertRaised):
            told = _raised(told, event, entry)
        elif isinstance(event, AlertCleared):
            told = tuple(_cleared(each, event, entry.lo_ms) for each in told)
        elif isinstance(event, AlertAnswered):
            answer = ToldAnswer(event.answered_by, entry.hi_ms, event.says, event.takes)
            told = tuple(_answered(each, answer) for each in told)
        return UnitAlerts(_kept(told))


class Nights(Struct, frozen=True):
    """The test calls that were answered, in the order they were recorded."""

    answered: tuple["ToldTestCall", ...] = ()

    @property
    def test_calls(self) -> tuple[TestCall, ...]:
        """Return them as the nights know them."""
        return tuple(
            TestCall(
                each.answered_by, from_ms(each.at_ms), from_ms(each.until_ms), each.dialler
            )
            for each in self.answered
        )


class ToldTestCall(Struct, frozen=True):
    """A test call as recorded."""

    answered_by: str
    at_ms: int
    until_ms: int
    dialler: bool


class NightFold:
    """Entries to `Nights`, under one key."""

    name = "night"
    state_type = Nights

    @property
    def kinds(self) -> frozenset[type[Event]]:
        """Return the events that can touch one."""
        return frozenset({TestCallAnswered})

    def keys(self, event: Event) -> tuple[str, ...]:
        """Return the one key for test calls."""
        return (NIGHTS,) if isinstance(event, TestCallAnswered) else ()

    def step(self, key: str, state: Nights | None, entry: Entry) -> Nights:  # noqa: ARG002
        """Return the test calls after the entry."""
        nights, event = state or Nights(), entry.event
        if not isinstance(event, TestCallAnswered):
            return nights
        at_ms = entry.lo_ms
        told = ToldTestCall(event.answered_by, at_ms, event.until_ms, event.dialler)
        return Nights((*nights.answered, told)[-_KEPT_TEST_CALLS:])


ALERT, NIGHT = AlertFold(), NightFold()


def _raised(
    told: tuple[ToldAlert, ...], event: AlertRaised, entry: Entry
) -> tuple[ToldAlert, ...]:
    if any((each.cause, each.since_ms) == (event.cause, event.since_ms) for each in told):
        return told
    raised_ms, told_ms = entry.lo_ms, entry.recorded_ms
    new = ToldAlert(event.cause, event.since_ms, raised_ms, told_ms, event.temp_mc)
    return (*told, new)


def _cleared(told: ToldAlert, event: AlertCleared, at_ms: int) -> ToldAlert:
    meant = (told.cause, told.since_ms) == (event.cause, event.since_ms)
    return replace(told, cleared_ms=at_ms) if meant and told.cleared_ms is None else told


def _answered(told: ToldAlert, answer: ToldAnswer) -> ToldAlert:
    """Return the alert with the answer, where somebody still had to see to it."""
    return replace(told, answers=(*told.answers, answer)) if told.stands else told


def _kept(told: Iterable[ToldAlert]) -> tuple[ToldAlert, ...]:
    last = {each.cause: each for each in told}
    return tuple(each for each in told if each.stands or each is last[each.cause])
