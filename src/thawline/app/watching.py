"""
Alerts of the storage units: raised and cleared from readings, answered by people.

What is recorded is that a call was due, and what came of it. Nobody is called by this program.
"""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from thawline.app.acts import Doing, Outcome, act
from thawline.app.in_force import in_force
from thawline.app.ports import Site
from thawline.base.errors import NotFoundError, RecordError, RuleError, UnsaidError
from thawline.base.findings import Finding
from thawline.base.instants import Instant, exactly, from_ms, to_ms, written
from thawline.ledger.alert_events import (
    AlertAnswered,
    AlertCleared,
    AlertRaised,
    TestCallAnswered,
)
from thawline.ledger.entries import Decision, Kind, Plain, View
from thawline.ledger.events import Event
from thawline.rules.protocol import ProtocolRef
from thawline.store.alarm_figures import AlarmFigures, alarm_figures
from thawline.store.alert_fold import ALERT, NIGHT, NIGHTS, ToldAlert, UnitAlerts
from thawline.store.alerts import Alert, finding, item, level
from thawline.store.nights import TestCall, night_of
from thawline.store.readings import Readings
from thawline.store.units import StorageUnit
from thawline.store.watching import alerts


@dataclass(frozen=True, slots=True)
class Watched:
    """A unit and what the site's protocol says it is watched by."""

    unit: StorageUnit
    figures: AlarmFigures
    ref: ProtocolRef

    @property
    def called(self) -> str:
        """Return the unit as people say it."""
        return self.unit.title or self.unit.name

    def finding(self, alert: Alert, site: Site, now: Instant) -> Finding:
        """Return what is wrong with the unit and what to do."""
        return finding(alert, self.called, self.figures, to_ms(now), site.zone)


@dataclass(frozen=True, slots=True)
class Change:
    """An alert that was raised, or that ended; `over` says which."""

    alert: Alert
    over: bool


def watched(site: Site, unit: StorageUnit, at: Instant, *, sends: bool) -> Watched:
    """
    Return what the protocol in force watches a unit by; of several alarms the soonest.

    Args:
        site: Where the unit stands.
        unit: The unit.
        at: The moment whose protocol counts.
        sends: Whether its logger is expected to send while it reads.

    Raises:
        RuleError: The protocol has no such band, or no alarm for it.
    """
    with site.ledger.view() as view:
        return _watched(site, view, unit, at, sends=sends)


def _watched(site: Site, view: View, unit: StorageUnit, at: Instant, *, sends: bool) -> Watched:
    rules = in_force(site, view, at)
    protocol = rules.protocol
    band = protocol.bands.get(unit.band)
    alarms = [alarm for alarm in protocol.alarms.values() if alarm.band == unit.band]
    if band is None or not alarms:
        raise RuleError(
            f"unit {unit.name}: the protocol has no alarm for the band {unit.band!r}",
            advice="nobody would be called; add [alarms] for it, or watch it by hand",
        )
    soonest = min(alarms, key=lambda alarm: alarm.delay.longest())
    logging = protocol.logging if sends else None
    return Watched(unit, alarm_figures(band, soonest, logging), rules.ref)


def alerts_of(site: Site, unit: str) -> tuple[ToldAlert, ...]:
    """Return the alerts of a unit that are kept: those that stand, and the last of a cause."""
    with site.ledger.view() as view:
        return _told(view, unit)


def _told(view: View, unit: str) -> tuple[ToldAlert, ...]:
    return (view.one(ALERT, unit) or UnitAlerts()).alerts


def changes_of(
    site: Site, what: Watched, seen: Readings, began: Instant | None
) -> tuple[Change, ...]:
    """
    Return what the readings raise and end beyond what is recorded, in the order it happened.

    Args:
        site: Where the unit stands.
        what: The unit and its figures.
        seen: All its readings.
        began: Since when its logger is expected to send.
    """
    kept = [told.alert for told in alerts_of(site, what.unit.name)]
    began_ms = None if began is None else to_ms(began)
    found = alerts(seen, what.figures, to_ms(site.now()), kept, began_ms)
    return tuple(_changes(kept, found))


def _changes(kept: Sequence[Alert], found: Sequence[Alert]) -> Iterator[Change]:
    before = {(alert.cause, alert.since_ms): alert for alert in kept}
    for alert in found:
        known = before.get((alert.cause, alert.since_ms))
        if known is None:
            yield Change(alert, over=False)
        if alert.cleared_ms is not None and (known is None or known.is_open):
            yield Change(alert, over=True)


def note_change(site: Site, by: str, what: Watched, change: Change) -> None:
    """Record that an alert was raised, or that it ended."""
    alert, unit, now = change.alert, what.unit.name, site.now()
    event: Event
    if change.over:
        assert alert.cleared_ms is not None  # noqa: S101  that is what being over means
        at_ms = alert.cleared_ms
        event = AlertCleared(unit=unit, cause=alert.cause, since_ms=alert.since_ms)
    else:
        at_ms = alert.raised_ms
        event = _raised(what, alert)
    doing = Doing(by, exactly(from_ms(at_ms)), now, site.mint())
    command: dict[str, Plain] = {"command": "cold follow", "unit": unit, "cause": alert.cause}

    def decide(_view: View) -> Decision:
        found = () if change.over else (what.finding(alert, site, now),)
        return Decision(event, found, what.ref)

    act(site, doing, command, decide, kind=Kind.FACT)


def _raised(what: Watched, alert: Alert) -> AlertRaised:
    return AlertRaised(
        unit=what.unit.name,
        cause=alert.cause,
        since_ms=alert.since_ms,
        level=level(alert, what.figures),
        item=item(alert, what.figures),
        temp_mc=alert.temp_mc,
        low_mc=what.figures.low_mc,
        high_mc=what.figures.high_mc,
    )


def answer(site: Site, doing: Doing, unit: str, *, takes: bool) -> Outcome:
    """
    Record that somebody answered about a unit's alerts, and whether they take them on.

    Raises:
        NotFoundError: Nothing about that unit waits for an answer.
        UnsaidError: They said nothing.
    """
    if not doing.why:
        raise UnsaidError("what did they say?", advice='add --why "on my way"')

    def decide(view: View) -> Decision:
        if not any(told.stands for told in _told(view, unit)):
            raise NotFoundError(
                f"no alert of {unit} waits for an answer", advice="thawline cold units"
            )
        event = AlertAnswered(unit=unit, answered_by=doing.by, says=doing.why, takes=takes)
        return Decision(event)

    command: dict[str, Plain] = {"command": "cold answer", "unit": unit, "takes": takes}
    return act(site, doing, command, decide, kind=Kind.FACT)


def answer_test_call(
    site: Site, doing: Doing, answered_by: str, until: Instant | None, *, dialler: bool
) -> Outcome:
    """
    Record that the site's dialler, or a person, answered a test call for a night.

    Args:
        site: Where.
        doing: Who records it; when it happened is when the call was answered.
        answered_by: Who answered; of a dialler, what it is called.
        until: Until when they are there; None: until the night is over.
        dialler: It is the site's own dialler.

    Raises:
        UnsaidError: Nobody is named, or nobody knows when the night is over.
        RecordError: They are gone before the call.
    """
    if not answered_by.strip():
        raise UnsaidError("who answered the test call?", advice="add --answered-by NAME")
    ends = _end_of_night(site, doing.at) if until is None else until
    if ends <= doing.at:
        raise RecordError(
            f"{answered_by} would be there until {written(ends, site.zone)}, before the call",
            advice="give the end with its date, as in 2026-02-04T06:00",
        )
    event = TestCallAnswered(answered_by=answered_by, until_ms=to_ms(ends), dialler=dialler)
    command: dict[str, Plain] = {
        "command": "cold night",
        "answered_by": answered_by,
        "until_ms": event.until_ms,
        "dialler": dialler,
    }
    return act(site, doing, command, lambda _view: Decision(event), kind=Kind.FACT)


def _end_of_night(site: Site, at: Instant) -> Instant:
    if site.night is None:
        raise RecordError(
            f"nobody said when a night at {site.name} begins and ends",
            advice="add --there-until 06:00, or once: thawline site night 18:00 06:00",
        )
    return night_of(site.night, at, site.zone).ends


def answered_calls(view: View) -> tuple[TestCall, ...]:
    """Return the test calls that were answered."""
    nights = view.one(NIGHT, NIGHTS)
    return nights.test_calls if nights else ()
