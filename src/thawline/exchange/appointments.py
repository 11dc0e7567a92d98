"""
An appointment as text that can be read out or sent, and as a calendar file.

Nothing about health is in either: a place, a day, a time. A telephone is seen by others, and a
calendar is often shared. Nothing is sent by this tool.

Source: RFC 5545 (iCalendar): lines end in CRLF and are folded at 75 octets (3.1), text is
escaped (3.3.11), a calendar needs PRODID and VERSION (3.6), an event UID and DTSTAMP (3.6.1);
an event with a start and no end takes no time (3.6.1), as nobody here knows how long a visit
lasts. Times are written in UTC, so that no time zone has to be told.
"""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from datetime import UTC, tzinfo

from thawline.base.instants import Instant, local_date, local_time

_FOLD_OCTETS = 75  # RFC 5545, section 3.1, without the line break
_NOON_HOUR = 12
DRAFT_LANGUAGES = frozenset(("es",))
"""Languages whose words nobody has reviewed yet; every text in them says so."""


@dataclass(frozen=True, slots=True)
class Appointment:
    """
    One place: when, where by name, and since when it is so.

    `uid` is the same for a person's appointment wherever it is moved, and tells no name.
    """

    uid: str
    starts: Instant
    given: Instant
    place: str
    zone: tzinfo
    is_demo: bool = False


@dataclass(frozen=True, slots=True)
class _Words:
    """What an appointment is called in one language; month and day names in calendar order."""

    summary: str
    reminder: str
    draft: str
    days: tuple[str, ...]
    months: tuple[str, ...]
    date: str


_WORDS: Mapping[str, _Words] = {
    "en": _Words(
        summary="Appointment at {place}",
        reminder="Reminder: you have an appointment at {place} on {day} at {clock}. If you "
        "cannot come, please tell us.",
        draft="",
        days=("Monday", "Tuesday", "Wednesday", "Thursday", "Friday", "Saturday", "Sunday"),
        months=(
            *("January", "February", "March", "April", "May", "June", "July"),
            *("August", "September", "October", "November", "December"),
        ),
        date="{weekday} {day} {month} {year}",
    ),
    "es": _Words(
        summary="Cita en {place}",
        reminder="Recordatorio: tiene una cita en {place} el {day} a las {clock}. Si no puede "
        "venir, avísenos, por favor.",
        draft="[Borrador: traducción sin revisar] ",
        days=("lunes", "martes", "miércoles", "jueves", "viernes", "sábado", "domingo"),
        months=(
            *("enero", "febrero", "marzo", "abril", "mayo", "junio", "julio"),
            *("agosto", "septiembre", "octubre", "noviembre", "diciembre"),
        ),
        date="{weekday} {day} de {month} de {year}",
    ),
}
LANGUAGES = tuple(_WORDS)


def reminder(appointment: Appointment, language: str) -> str:
    """Return the sentences to send or read out; a language that is a draft says so first."""
    words = _WORDS[language]
    said = words.reminder.format(
        place=appointment.place,
        day=_day(appointment, words),
        clock=_clock(appointment),
    )
    return f"{_demo(appointment)}{words.draft}{said}"


def calendar_file(appointment: Appointment, language: str) -> str:
    """Return the appointment as an iCalendar object; lines end in CRLF."""
    words = _WORDS[language]
    summary = f"{_demo(appointment)}{words.draft}{words.summary}"
    lines = [
        "BEGIN:VCALENDAR",
        "VERSION:2.0",
        "PRODID:-//thawline//appointments//EN",
        "METHOD:PUBLISH",
        "BEGIN:VEVENT",
        f"UID:{appointment.uid}",
        f"DTSTAMP:{_stamp(appointment.given)}",
        f"DTSTART:{_stamp(appointment.starts)}",
        f"SUMMARY;LANGUAGE={language}:{_escaped(summary.format(place=appointment.place))}",
        f"LOCATION:{_escaped(appointment.place)}",
        "CLASS:PRIVATE",
        "END:VEVENT",
        "END:VCALENDAR",
    ]
    return "".join(f"{part}\r\n" for line in lines for part in _folded(line))


def _demo(appointment: Appointment) -> str:
    return "DEMO. " if appointment.is_demo else ""


def _day(appointment: Appointment, words: _Words) -> str:
    day = local_date(appointment.starts, appointment.zone)
    return words.date.format(
        weekday=words.days[day.weekday()],
        day=day.day,
        month=words.months[day.month - 1],
        year=day.year,
    )


def _clock(appointment: Appointment) -> str:
    """Return 9:40 am, as public cards have it (practice: words), by the place's own clock."""
    at = local_time(appointment.starts, appointment.zone)
    half = "am" if at.hour < _NOON_HOUR else "pm"
    return f"{at.hour % _NOON_HOUR or _NOON_HOUR}:{at.minute:02} {half}"


def _stamp(at: Instant) -> str:
    return f"{local_date(at, UTC):%Y%m%d}T{local_time(at, UTC):%H%M%S}Z"


def _escaped(text: str) -> str:
    """Return TEXT with backslash, comma, semicolon and line break escaped (3.3.11)."""
    for plain, escaped in (("\\", "\\\\"), (";", "\\;"), (",", "\\,"), ("\n", "\\n")):
        text = text.replace(plain, escaped)
    return text


def _folded(line: str) -> Iterator[str]:
    """Yield the line in pieces of at most 75 octets, never cutting a letter in two."""
    piece, octets = "", 0
    for letter in line:
        width = len(letter.encode())
        if octets + width > _FOLD_OCTETS:
            yield piece
            piece, octets = " ", 1
        piece, octets = piece + letter, octets + width
    yield piece
