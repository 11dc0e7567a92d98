"""
Who has a place for a second dose at another site, by the record here and by the others'.

Passed on from here, taken over by another site that was cut off before the word came here, or
booked there by themselves: they have a place, and get no second one.
"""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from datetime import date

from thawline.app.booking_rows import identity_of
from thawline.app.ports import Site
from thawline.base.instants import Instant, from_ms, local_date, to_ms
from thawline.ledger.entries import View
from thawline.person.away import AWAY, Away, place_elsewhere
from thawline.person.bookings import SECOND
from thawline.person.fold import PERSON
from thawline.person.likeness import Likeness, likeness_of

_SAME = (Likeness.SAME, Likeness.NAME_AND_BIRTH)


@dataclass(frozen=True, slots=True, order=True)
class PlacedThere:
    """One person of a site who has a place to come at another; the code is that at home."""

    home: str
    person: str
    site: str
    day: date


def elsewhere_on(view: View, on: date) -> Mapping[str, Away]:
    """Return whom this site has passed on to a place of that day or later."""
    found = ((person, place_elsewhere(state, on)) for person, state in view.all(AWAY))
    return {person: away for person, away in found if away is not None}


def days_elsewhere(view: View, on: date) -> Mapping[str, date]:
    """Return the day of that place by person."""
    return {person: away.day for person, away in elsewhere_on(view, on).items()}


def placed_there(sites: Sequence[Site], at: Instant) -> tuple[PlacedThere, ...]:
    """
    Return whose place is at another of these sites, by what that site has on record.

    Taken over there by whatever code, or booked there under the code of home: then only where
    the same name and birth date are kept at both, as one code may stand for two people.
    """
    return tuple(
        sorted(
            {
                found
                for there in sites
                for found in (*_taken(there, at), *_own(sites, there, at))
            }
        )
    )


def _taken(there: Site, at: Instant) -> Iterator[PlacedThere]:
    today = local_date(at, there.zone)
    with there.ledger.view() as view:
        states = [state for _, state in view.all(AWAY)]
    for away in (away for state in states for away in state.came_from):
        if away.day >= today:
            yield PlacedThere(away.site, away.code, there.name, away.day)


def _own(sites: Sequence[Site], there: Site, at: Instant) -> Iterator[PlacedThere]:
    for person, day in _second_places(there, at):
        for home in sites:
            if home is not there and _is_same_person(home, there, person):
                yield PlacedThere(home.name, person, there.name, day)


def _second_places(there: Site, at: Instant) -> Iterator[tuple[str, date]]:
    """Yield who has a place for the second dose to come there, but not by a move."""
    with there.ledger.view() as view:
        moved = {person for person, state in view.all(AWAY) if state.came_from}
        people = [(person, state) for person, state in view.all(PERSON) if person not in moved]
    for person, state in people:
        to_come = [
            place.slot_ms
            for place in state.bookings
            if place.dose_number == SECOND and place.slot_ms >= to_ms(at)
        ]
        if to_come:
            yield person, local_date(from_ms(min(to_come)), there.zone)


def _is_same_person(home: Site, there: Site, person: str) -> bool:
    """Say whether a code stands for one person at both, by name and birth date."""
    names = home.people.get(person), there.people.get(person)
    kept = [identity_of(name) for name in names if name is not None]
    return len(kept) == len(names) and likeness_of(*kept) in _SAME


def not_told(site: Site, placed: Sequence[PlacedThere], at: Instant) -> tuple[PlacedThere, ...]:
    """Return those of this site's people who have a place elsewhere, and it does not know."""
    with site.ledger.view() as view:
        known = elsewhere_on(view, local_date(at, site.zone))
        return tuple(
            each
            for each in placed
            if each.home == site.name
            and each.person not in known
            and view.one(PERSON, each.person) is not None
        )
