"""
The state of one person, from the ledger's entries: booked, screened, checked, given, told.

A check is open until a dose, or "left without a dose", answers it. A dose answers the checks
of its own local day and those that named its syringe, so that an unrecorded first dose does
not vanish when the second is given four weeks later.
"""

from bisect import bisect_left
from collections.abc import Callable
from datetime import date
from typing import Any
from zoneinfo import ZoneInfo

import msgspec
from msgspec import Struct

from thawline.base.instants import Instant, from_ms, local_date, zone_named
from thawline.ledger.entries import Entry
from thawline.ledger.events import (
    DoseChecked,
    DoseGiven,
    DoseNotGiven,
    EarlierDoseTold,
    Event,
    PersonBooked,
)
from thawline.ledger.person_events import SecondDosesTakenOver
from thawline.ledger.screening_events import ScreeningAnswered, ScreeningCleared
from thawline.ledger.second_dose_events import SecondDosesAssigned, SecondDosesMoved
from thawline.person.last_word import last_word, stricter_word
from thawline.rules.protocol import ProtocolRef
from thawline.rules.questions import Outcome


class Booking(Struct, frozen=True):
    """A place at a time, for a first or second dose."""

    slot_ms: int
    dose_number: int
    zone: str
    language: str
    needs: str
    row: str  # fingerprint of the imported row; "" when typed
    entry: str  # id of the act
    group: str = ""
    recorded_ms: int | None = None


class Check(Struct, frozen=True):
    """One answer before the needle; `answered` is the act that closed it, None while open."""

    at_ms: int
    zone: str
    station: str
    by: str
    syringe: str | None
    vial: str | None
    may: bool
    codes: tuple[str, ...]
    entry: str
    answered: str | None = None
    screened_by: str | None = None
    screening: str | None = None


class Screening(Struct, frozen=True):
    """
    The outcome of one day's answers; `cleared` is the act that decided a referral.

    Asked not before `lo_ms` and not after `hi_ms`.
    """

    lo_ms: int
    hi_ms: int
    zone: str
    by: str
    outcome: str
    reasons: tuple[str, ...]
    until: str | None
    dose_number: int | None
    entry: str
    cleared: str | None = None


class DoseHad(Struct, frozen=True):
    """A dose recorded here; it happened not before `lo_ms` and not after `hi_ms`."""

    dose_number: int
    lo_ms: int
    hi_ms: int
    zone: str
    lot: str | None
    syringe: str | None
    vial: str | None
    arm: str | None
    protocol: ProtocolRef | None
    codes: tuple[str, ...]
    entry: str


class DoseTold(Struct, frozen=True):
    """A dose had elsewhere, typed from the person's card; an ISO date."""

    given_on: str
    product: str
    lot: str


class PersonState(Struct, frozen=True):
    """Everything the ledger knows about one person, each list in the ledger's order."""

    bookings: tuple[Booking, ...] = ()
    checks: tuple[Check, ...] = ()
    doses: tuple[DoseHad, ...] = ()
    told: tuple[DoseTold, ...] = ()
    screenings: tuple[Screening, ...] = ()


def last_screening(
    state: PersonState, at: Instant, zone: ZoneInfo, dose_number: int | None = None
) -> Screening | None:
    """
    Return the last screening of the local day by then; None without, as answers expire.

    One that was asked for another dose than `dose_number` does not count.
    """
    found = [
        screening
        for screening in state.screenings
        if dose_number in (None, screening.dose_number or dose_number)
    ]
    return last_word(found, at, zone, _strictness)


def stricter_screening(
    state: PersonState, typed: Screening, zone: ZoneInfo
) -> Screening | None:
    """Return the screening of that day that counts in spite of a milder one typed in now."""
    same = [each for each in state.screenings if _is_for_one_dose(each, typed)]
    return stricter_word(same, typed, zone, _strictness)


def _is_for_one_dose(one: Screening, other: Screening) -> bool:
    return None in (one.dose_number, other.dose_number) or one.dose_number == other.dose_number


def _strictness(screening: Screening) -> int:
    """Return how far an outcome is from the one that gives with the longer stay."""
    places = list(Outcome)
    return places.index(Outcome.GIVE_30) - places.index(Outcome(screening.outcome))


def open_checks(state: PersonState) -> tuple[Check, ...]:
    """Return the checks that neither a dose nor "left without a dose" has answered."""
    return tuple(check for check in state.checks if check.answered is None)


class PersonFold:
    """Entries to `PersonState`, keyed by the person's code."""

    name = "person"
    state_type = PersonState

    @property
    def kinds(self) -> frozenset[type[Event]]:
        """Return the events that can touch one."""
        return frozenset(
            {*_ABOUT_A_PERSON, SecondDosesAssigned, SecondDosesMoved, SecondDosesTakenOver}
        )

    def keys(self, event: Event) -> tuple[str, ...]:
        """Return whom the event is about; nothing for events about no person."""
        if isinstance(event, SecondDosesAssigned | SecondDosesMoved | SecondDosesTakenOver):
            return event.people
        return (event.person,) if isinstance(event, _ABOUT_A_PERSON) else ()

    def step(self, key: str, state: PersonState | None, entry: Entry) -> PersonState:
        """Return the person's state after the entry."""
        before = PersonState() if state is None else state
        if isinstance(entry.event, SecondDosesAssigned | SecondDosesMoved):
            return _placed(before, entry, entry.event, bisect_left(entry.event.people, key))
        if isinstance(entry.event, SecondDosesTakenOver):
            return _taken_over(before, entry, entry.event, key)
        return _STEPS[type(entry.event)](before, entry, entry.event)


PERSON = PersonFold()
"""The one fold of people; it keeps nothing between calls."""


def _booked(state: PersonState, entry: Entry, event: PersonBooked) -> PersonState:
    booking = Booking(
        slot_ms=event.slot_ms,
        dose_number=event.dose_number,
        zone=entry.zone,
        language=event.language,
        needs=event.needs,
        group=event.group,
        row=event.row,
        recorded_ms=entry.recorded_ms,
        entry=str(entry.id),
    )
    return msgspec.structs.replace(state, bookings=(*state.bookings, booking))


def _placed(
    state: PersonState,
    entry: Entry,
    event: SecondDosesAssigned | SecondDosesMoved,
    nth: int,
) -> PersonState:
    """Return the state with the new place; a moved one goes, what was said with it stays."""
    left = event.left_ms[nth] if isinstance(event, SecondDosesMoved) else None
    gone = [each for each in state.bookings if (each.dose_number, each.slot_ms) == (2, left)]
    said = (gone or list(state.bookings))[-1:]
    booking = Booking(
        slot_ms=event.slots_ms[nth],
        dose_number=2,
        zone=entry.zone,
        language=said[0].language if said else "",
        needs=said[0].needs if said else "",
        group=said[0].group if said else "",
        row="",
        recorded_ms=entry.recorded_ms,
        entry=str(entry.id),
    )
    kept = tuple(each for each in state.bookings if each not in gone)
    return msgspec.structs.replace(state, bookings=(*kept, booking))


def _taken_over(
    state: PersonState, entry: Entry, event: SecondDosesTakenOver, key: str
) -> PersonState:
    """Return the state with the place, and the first dose unless it is on record here."""
    nth = event.people.index(key)
    card = DoseTold(given_on=event.first_on[nth], product="", lot="")
    booking = Booking(
        slot_ms=event.slots_ms[nth],
        dose_number=2,
        zone=entry.zone,
        language="",
        needs="",
        row="",
        entry=str(entry.id),
        group="",
        recorded_ms=entry.recorded_ms,
    )
    told = state.told if _has_dose_of(state, card.given_on) else (*state.told, card)
    return msgspec.structs.replace(state, told=told, bookings=(*state.bookings, booking))


def _has_dose_of(state: PersonState, day: str) -> bool:
    """Say whether a dose given here can be of that ISO date, or one told from a card is."""
    had_here = any(
        _iso_date(dose.lo_ms, dose.zone) <= day <= _iso_date(dose.hi_ms, dose.zone)
        for dose in state.doses
    )
    return had_here or day in {each.given_on for each in state.told}


def _iso_date(at_ms: int, zone: str) -> str:
    return local_date(from_ms(at_ms), zone_named(zone)).isoformat()


def _told(state: PersonState, _entry: Entry, event: EarlierDoseTold) -> PersonState:
    told = DoseTold(given_on=event.given_on, product=event.product, lot=event.lot)
    return msgspec.structs.replace(state, told=(*state.told, told))


def _screened(state: PersonState, entry: Entry, event: ScreeningAnswered) -> PersonState:
    screening = Screening(
        lo_ms=entry.lo_ms,
        hi_ms=entry.hi_ms,
        zone=entry.zone,
        by=entry.by,
        outcome=event.outcome,
        reasons=event.reasons,
        until=event.until,
        dose_number=event.dose_number,
        entry=str(entry.id),
    )
    return msgspec.structs.replace(state, screenings=(*state.screenings, screening))


def _cleared(state: PersonState, entry: Entry, event: ScreeningCleared) -> PersonState:
    """Return the state with the screening it names cleared; one that was undone stays so."""
    cleared = {"outcome": event.outcome, "cleared": str(entry.id)}
    screenings = tuple(
        msgspec.structs.replace(each, **cleared) if each.entry == event.screening else each
        for each in state.screenings
    )
    return msgspec.structs.replace(state, screenings=screenings)


def _checked(state: PersonState, entry: Entry, event: DoseChecked) -> PersonState:
    check = Check(
        at_ms=entry.hi_ms,
        zone=entry.zone,
        station=entry.station,
        by=entry.by,
        syringe=event.syringe,
        vial=event.vial,
        may=event.may,
        codes=event.codes,
        entry=str(entry.id),
        screened_by=event.screened_by,
        screening=event.screening,
    )
    return msgspec.structs.replace(state, checks=(*state.checks, check))


def _given(state: PersonState, entry: Entry, event: DoseGiven) -> PersonState:
    dose = DoseHad(
        dose_number=event.dose_number,
        lo_ms=entry.lo_ms,
        hi_ms=entry.hi_ms,
        zone=entry.zone,
        lot=event.lot,
        syringe=event.syringe,
        vial=event.vial,
        arm=event.arm,
        protocol=entry.protocol,
        codes=event.codes,
        entry=str(entry.id),
    )
    first, last = _days(entry)

    def answers(check: Check) -> bool:
        same_syringe = check.syringe is not None and check.syringe == event.syringe
        return same_syringe or first <= _day(check) <= last

    return msgspec.structs.replace(_answered(state, entry, answers), doses=(*state.doses, dose))


def _not_given(state: PersonState, entry: Entry, _event: DoseNotGiven) -> PersonState:
    _, last = _days(entry)
    return _answered(state, entry, lambda check: _day(check) <= last)


def _answered(
    state: PersonState, entry: Entry, answers: Callable[[Check], bool]
) -> PersonState:
    """Return the state with the open checks that this entry answers closed by it."""
    closed = {"answered": str(entry.id)}
    checks = tuple(
        msgspec.structs.replace(check, **closed)
        if check.answered is None and answers(check)
        else check
        for check in state.checks
    )
    return msgspec.structs.replace(state, checks=checks)


def _day(check: Check) -> date:
    return local_date(from_ms(check.at_ms), zone_named(check.zone))


def _days(entry: Entry) -> tuple[date, date]:
    zone = zone_named(entry.zone)
    return local_date(entry.occurred.lo, zone), local_date(entry.occurred.hi, zone)


_STEPS: dict[type[Event], Callable[[PersonState, Entry, Any], PersonState]] = {
    PersonBooked: _booked,
    EarlierDoseTold: _told,
    ScreeningAnswered: _screened,
    ScreeningCleared: _cleared,
    DoseChecked: _checked,
    DoseGiven: _given,
    DoseNotGiven: _not_given,
}
_ABOUT_A_PERSON = (
    *(PersonBooked, EarlierDoseTold, ScreeningAnswered, ScreeningCleared),
    *(DoseChecked, DoseGiven, DoseNotGiven),
)
