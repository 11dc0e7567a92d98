"""
Who is due for the second dose on a day, who has been waiting and who is late.

The list to invite and to call from. Nobody is on it before the earliest bookable day, and
`booking_findings` refuses a place before that day whatever the reason.
"""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from datetime import date
from enum import StrEnum
from types import MappingProxyType

from thawline.base.findings import Finding, Level
from thawline.base.instants import from_ms, local_date, zone_named
from thawline.person.fold import PersonState
from thawline.rebook.series import (
    Awaited,
    DoseDay,
    RuleOn,
    awaited,
    dose_days,
    has_undated_dose,
    on_day,
)
from thawline.rules.protocol import SecondDose

NOWHERE: Mapping[str, date] = MappingProxyType({})
"""Nobody has a place at another site."""


class Standing(StrEnum):
    """How long the second dose has been due, the most pressing first."""

    LATE = "late"
    WAITING = "waiting"
    DUE_TODAY = "due-today"


@dataclass(frozen=True, slots=True)
class SecondDue:
    """One person whose second dose is due; `booked` is the last place given, here or not."""

    person: str
    standing: Standing
    counted_from: date
    due: date
    late_after: date
    days: int
    repeats: bool
    booked: date | None


@dataclass(frozen=True, slots=True)
class DueList:
    """Everybody who is due, the longest due first, and those nobody can say it of."""

    due: tuple[SecondDue, ...]
    not_known: tuple[str, ...]


def second_due(
    people: Iterable[tuple[str, PersonState]],
    on: date,
    rule_on: RuleOn,
    elsewhere: Mapping[str, date] = NOWHERE,
) -> DueList:
    """
    Return whose second dose is due on the local date, and whose doses have no readable day.

    Doses after that date are not looked at, so a past day can be asked about as it was.
    `elsewhere`: by person the day of a place to come at another site.
    """
    due: list[SecondDue] = []
    not_known: list[str] = []
    for person, state in people:
        if has_undated_dose(state):
            not_known.append(person)
        elif (to_come := _to_come(state, on, rule_on)) and to_come.due <= on:
            booked = elsewhere.get(person) or _booked(state)
            due.append(_due(person, to_come, booked, on))
    by_day = sorted(due, key=lambda each: (each.due, each.person))
    return DueList(tuple(by_day), tuple(sorted(not_known)))


def _to_come(state: PersonState, on: date, rule_on: RuleOn) -> Awaited | None:
    had = (dose for dose in dose_days(state) if dose.earliest <= on)
    return awaited(had, on_day(on), rule_on)


def booking_findings(
    doses: Iterable[DoseDay], day: date, rule_on: RuleOn
) -> tuple[Finding, ...]:
    """Return why the next dose may not be booked on the day; empty when it may."""
    had = tuple(doses)
    rule = rule_on(on_day(day))
    to_come = awaited(had, on_day(day), rule_on)
    if to_come is None:
        return (_nothing_to_come(rule),) if had else ()
    if day >= to_come.due:
        return ()
    return (
        Finding(
            Level.STOP,
            "too-early",
            f"No place on {day.isoformat()}: the second dose is due on or after "
            f"{to_come.due.isoformat()}. Book a place from that day on.",
            rule.item,
        ),
    )


def _nothing_to_come(rule: SecondDose) -> Finding:
    says = "Both doses are on record. No further dose is booked; ask the clinical lead."
    return Finding(Level.STOP, "already-two-doses", says, rule.item)


def _due(person: str, to_come: Awaited, booked: date | None, on: date) -> SecondDue:
    return SecondDue(
        person=person,
        standing=_standing(to_come, on),
        counted_from=to_come.counted_from,
        due=to_come.due,
        late_after=to_come.late_after,
        days=(on - to_come.counted_from).days,
        repeats=to_come.repeats,
        booked=booked,
    )


def _standing(to_come: Awaited, on: date) -> Standing:
    if on > to_come.late_after:
        return Standing.LATE
    return Standing.DUE_TODAY if on == to_come.due else Standing.WAITING


def _booked(state: PersonState) -> date | None:
    """Return the day of the last booking for a dose after the first."""
    places = [booking for booking in state.bookings if booking.dose_number > 1]
    if not places:
        return None
    last = places[-1]
    return local_date(from_ms(last.slot_ms), zone_named(last.zone))
