"""Appointments for second doses: which there are, for whom, in which language."""

from dataclasses import dataclass
from datetime import date
from functools import cache
from uuid import NAMESPACE_URL, uuid5

from thawline.app.in_force import rules_by_time
from thawline.app.ports import Site
from thawline.app.second_places import Contact, contact_of
from thawline.base.errors import NotFoundError
from thawline.base.instants import from_ms, local_date, zone_named
from thawline.exchange.appointments import LANGUAGES, Appointment
from thawline.ledger.entries import View
from thawline.person.fold import PERSON, Booking, PersonState
from thawline.rebook.series import RuleOn, awaited, dose_days, on_day
from thawline.rebook.to_come import day_of, second_place

_OURS = uuid5(NAMESPACE_URL, "thawline:appointment")


@dataclass(frozen=True, slots=True)
class Reminded:
    """Somebody to remind; `language` is English where theirs is not known or has no words."""

    person: str
    appointment: Appointment
    contact: Contact
    language: str
    language_said: str


def appointments_on(site: Site, title: str, day: date | None) -> list[Reminded]:
    """Return everybody with a place for a second dose on the day, or from today on."""
    today = local_date(site.now(), site.zone)
    with site.ledger.view() as view:
        rule_on = cache(rules_by_time(site, view))
        found = [
            _reminded(site, title, person, state, place)
            for person, state in view.all(PERSON)
            if (place := _to_come(state, rule_on)) is not None
            and (day_of(place) == day if day is not None else day_of(place) >= today)
        ]
    return sorted(found, key=lambda each: (each.appointment.starts, each.person))


def appointment_of(site: Site, title: str, person: str) -> Reminded:
    """
    Return the appointment of one person for a second dose.

    Raises:
        NotFoundError: They have none.
    """
    with site.ledger.view() as view:
        state = _state(view, person)
        place = _to_come(state, cache(rules_by_time(site, view)))
    if place is None:
        raise NotFoundError(
            f"{person} has no place for a second dose", advice="thawline second assign"
        )
    return _reminded(site, title, person, state, place)


def _state(view: View, person: str) -> PersonState:
    state = view.one(PERSON, person)
    if state is None:
        raise NotFoundError(f"no person {person} here", advice="thawline dose find NAME")
    return state


def _to_come(state: PersonState, rule_on: RuleOn) -> Booking | None:
    """Return the place for a second dose that is to come, or for its repeat."""
    place, had = second_place(state), dose_days(state)
    if place is None or len(had) <= 1:
        return None if any(dose.dose_number > 1 for dose in state.doses) else place
    return None if awaited(had, on_day(day_of(place)), rule_on) is None else place


def _reminded(
    site: Site, title: str, person: str, state: PersonState, place: Booking
) -> Reminded:
    contact = contact_of(site, person)
    said = place.language or (contact.language or "")
    given_ms = place.recorded_ms if place.recorded_ms is not None else place.slot_ms
    return Reminded(
        person=person,
        appointment=Appointment(
            uid=str(uuid5(_OURS, f"{site.name}|{person}|{len(state.doses)}")),
            starts=from_ms(place.slot_ms),
            given=from_ms(given_ms),
            place=title,
            zone=zone_named(place.zone),
            is_demo=site.demo,
        ),
        contact=contact,
        language=said if said in LANGUAGES else LANGUAGES[0],
        language_said=said,
    )
