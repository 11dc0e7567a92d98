"""
Everybody who still waits for a second dose, due or not, with the place that they have.

The dates are as strict as every version of the rules that may be in force on the days asked
about: a place found between these dates is not early under any of them.
"""

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date

from thawline.base.instants import from_ms, local_date, zone_named
from thawline.person.fold import Booking, PersonState
from thawline.rebook.series import (
    Awaited,
    DoseDay,
    RuleOn,
    awaited,
    dose_days,
    has_undated_dose,
)

_SECOND = 2


@dataclass(frozen=True, slots=True)
class ToCome:
    """One person's second dose that is to come; `place` is the last they were given for it."""

    person: str
    awaited: Awaited
    place: Booking | None
    state: PersonState

    @property
    def place_day(self) -> date | None:
        """The local day of their place, None without one."""
        return None if self.place is None else day_of(self.place)


@dataclass(frozen=True, slots=True)
class Waits:
    """
    Who waits for a second dose, by code; and who nobody can say it of.

    `not_known` have a dose whose day cannot be read, or a place for a second dose and no first.
    """

    people: tuple[ToCome, ...]
    not_known: tuple[str, ...]


def day_of(booking: Booking) -> date:
    """Return the local day of a place."""
    return local_date(from_ms(booking.slot_ms), zone_named(booking.zone))


def second_place(state: PersonState) -> Booking | None:
    """Return the last place given for a second dose; None without one."""
    places = [each for each in state.bookings if each.dose_number == _SECOND]
    return places[-1] if places else None


def second_doses_to_come(
    people: Iterable[tuple[str, PersonState]], then: DoseDay, rule_on: RuleOn
) -> Waits:
    """
    Return who waits for a second dose that would be given between the two days of `then`.

    Raises:
        RuleError: As `repeat_day`.
    """
    found: list[ToCome] = []
    not_known: list[str] = []
    for person, state in people:
        doses, place = dose_days(state), second_place(state)
        if has_undated_dose(state) or (place is not None and not doses):
            not_known.append(person)
        elif to_come := awaited(doses, then, rule_on):
            found.append(ToCome(person, to_come, place, state))
    return Waits(tuple(sorted(found, key=lambda each: each.person)), tuple(sorted(not_known)))
