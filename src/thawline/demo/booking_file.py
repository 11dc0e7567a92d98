"""The list of bookings as a registration desk exports it: one row a booking, US dates."""

import csv
from datetime import date, time
from pathlib import Path

from thawline.demo.arrivals import HOUR_S, MINUTE_S, slots
from thawline.demo.district import Place
from thawline.demo.people import Person

_HEAD = (
    *("Appointment date", "Appointment time", "ID", "First name", "Last name"),
    *("Date of birth", "Phone", "Email", "Preferred language", "Dose", "Priority group"),
    "Help needed",
)
_LANGUAGES = {"en": "English", "es": "Spanish"}


def write_bookings(path: Path, place: Place, day: date, seed: int) -> int:
    """Write the file of a site's day and return the number of bookings in it."""
    rows = [
        _row(person, day, slot.at_s)
        for slot in slots(place, day, seed)
        for person in slot.people
    ]
    with path.open("w", newline="", encoding="utf-8") as file:
        csv.writer(file, lineterminator="\r\n").writerows([_HEAD, *rows])
    return len(rows)


def _row(person: Person, day: date, at_s: int) -> tuple[str, ...]:
    return (
        _written(day),
        time(at_s // HOUR_S, at_s % HOUR_S // MINUTE_S).strftime("%I:%M %p"),
        person.code,
        person.called.given,
        person.called.family,
        _written(person.born),
        person.phone,
        person.mail,
        _LANGUAGES[person.language],
        "1",
        person.group,
        person.needs,
    )


def _written(day: date) -> str:
    return day.strftime("%m/%d/%Y")
