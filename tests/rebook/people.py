"""People as the ledger's fold leaves them: the doses they had and the places they have."""

from datetime import date, datetime, time
from zoneinfo import ZoneInfo

from thawline.base.instants import instant, to_ms
from thawline.person.fold import Booking, DoseHad, DoseTold, PersonState

CHICAGO = "America/Chicago"


def local_ms(day: date, wall: time = time(9, 30)) -> int:
    return to_ms(instant(datetime.combine(day, wall, tzinfo=ZoneInfo(CHICAGO))))


def had(day: date, *, until: date | None = None, wall: time = time(9, 30)) -> DoseHad:
    return DoseHad(
        dose_number=1,
        lo_ms=local_ms(day, wall),
        hi_ms=local_ms(until or day, wall),
        zone=CHICAGO,
        lot="ZZ-1041",
        syringe=None,
        vial=None,
        arm=None,
        protocol=None,
        codes=(),
        entry="",
    )


def place(day: date, dose_number: int, wall: time = time(9, 30)) -> Booking:
    return Booking(
        slot_ms=local_ms(day, wall),
        dose_number=dose_number,
        zone=CHICAGO,
        language="",
        needs="",
        row="",
        entry="",
    )


def told(given_on: str) -> DoseTold:
    return DoseTold(given_on=given_on, product="", lot="")


def person(*doses: DoseHad, told: tuple[DoseTold, ...] = (), booked=()) -> PersonState:
    return PersonState(doses=doses, told=told, bookings=tuple(booked))
