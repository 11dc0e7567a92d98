"""
Whether a person may have a place: not twice for the same dose, not for a dose already given.

How early a second dose may be booked is another room's question.
"""

from dataclasses import dataclass
from datetime import date
from zoneinfo import ZoneInfo

from thawline.base.instants import Instant, from_ms, local_date, to_ms, written, zone_named
from thawline.person.away import Away
from thawline.person.fold import Booking, PersonState

FIRST, SECOND = 1, 2


@dataclass(frozen=True, slots=True)
class Wanted:
    """A place asked for; `day` is its local date."""

    slot: Instant
    day: date
    dose_number: int


def booked_already(state: PersonState, wanted: Wanted) -> Booking | None:
    """Return the booking that is this very place; None when there is none."""
    same = (to_ms(wanted.slot), wanted.dose_number)
    return next((b for b in state.bookings if (b.slot_ms, b.dose_number) == same), None)


def dose_number_at(state: PersonState, slot: Instant) -> int:
    """Return the dose of the booking at that time, else the first before any, or the second."""
    booked = [b.dose_number for b in state.bookings if b.slot_ms == to_ms(slot)]
    return booked[0] if booked else SECOND if state.doses or state.told else FIRST


def refusal(
    state: PersonState, wanted: Wanted, now: Instant, *, repeats: bool = False
) -> str | None:
    """
    Return why the person may not have this place; None when nothing is against it.

    A place in the past that nobody came to does not stand in the way of a new one, nor does
    a dose that is to be repeated.
    """
    if wanted.dose_number not in (FIRST, SECOND):
        return f"dose {wanted.dose_number}: this series has doses 1 and 2"
    given = [dose for dose in state.doses if dose.dose_number == wanted.dose_number]
    if given and not repeats:
        day = local_date(from_ms(given[-1].lo_ms), zone_named(given[-1].zone))
        return f"dose {wanted.dose_number} was given on {day.isoformat()}"
    if state.told and wanted.dose_number == FIRST:
        return f"a first dose elsewhere is told, given on {state.told[0].given_on}"
    for booking in state.bookings:
        if booking.dose_number == wanted.dose_number and booking.slot_ms >= to_ms(now):
            place = written(from_ms(booking.slot_ms), zone_named(booking.zone))
            return f"has a place for dose {wanted.dose_number} already: {place}"
    return None


def refusal_elsewhere(away: Away | None, wanted: Wanted) -> str | None:
    """Return why a place at another site refuses this one; None where it does not."""
    if away is None or wanted.dose_number != SECOND:
        return None
    place = written(from_ms(away.slot_ms), zone_named(away.zone))
    return f"has a place for dose {SECOND} at {away.site} already: {place}"


def first_dose_booked(state: PersonState, now: Instant) -> date | None:
    """Return the day of the first dose that is booked and still to come; None without one."""
    coming = [
        local_date(from_ms(booking.slot_ms), zone_named(booking.zone))
        for booking in state.bookings
        if booking.dose_number == FIRST and booking.slot_ms >= to_ms(now)
    ]
    return max(coming, default=None)


def had_dose_on(state: PersonState, day: date, zone: ZoneInfo) -> bool:
    """Say whether a dose of this person can have happened on that local day."""
    return any(
        local_date(from_ms(dose.lo_ms), zone) <= day <= local_date(from_ms(dose.hi_ms), zone)
        for dose in state.doses
    )
