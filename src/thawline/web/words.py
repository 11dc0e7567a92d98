"""Filters for templates: times, durations, counts, as the site writes them."""

import re
from collections.abc import Iterable
from datetime import date, timedelta
from zoneinfo import ZoneInfo

from django import template
from django.utils.safestring import SafeString, mark_safe

from thawline.base.instants import Instant, from_ms, local_date, local_time
from thawline.web.ink import themed

register = template.Library()
_LENGTH = re.compile(r"P(?:(\d+)D)?(?:T(?:(\d+)H)?(?:(\d+)M)?)?", re.ASCII)
_LANGUAGES = {"en": "English", "es": "Spanish"}
_COMMAND = re.compile(r":? ?(?:or )?thawline [^.;,]*")


@register.filter
def clock(at: Instant | None, zone: ZoneInfo) -> str:
    """Return the wall-clock time, "?" where it is not known."""
    return "?" if at is None else local_time(at, zone).strftime("%H:%M")


@register.filter
def when(at: Instant | None, around: tuple[ZoneInfo, date]) -> str:
    """Return the time, with the date where it is another day."""
    if at is None:
        return "not known"
    zone, today = around
    day = local_date(at, zone)
    wall = local_time(at, zone).strftime("%H:%M")
    return wall if day == today else f"{wall} {day_words(day)}"


@register.filter
def day_words(day: date) -> str:
    """Return a date as "Tue 3 Feb"."""
    return f"{day:%a} {day.day} {day:%b}"


@register.filter
def date_words(day: date | None) -> str:
    """Return a date with its year, as on records; words where none is known."""
    return "not known" if day is None else f"{day:%Y}-{day:%b}-{day:%d}".upper()


@register.filter
def language_words(code: str) -> str:
    """Return a language by its name; the code itself where the name is not known here."""
    return _LANGUAGES.get(code, code) or "not known"


@register.filter
def length_words(text: str | None) -> str:
    """Return a figure as people read it: "12 h" for PT12H, "30 days" for P30D."""
    match = _LENGTH.fullmatch(text or "")
    if match is None:
        return text or ""
    parts = zip(match.groups(), ("days", "h", "min"), strict=True)
    return " ".join(f"{number} {unit}" for number, unit in parts if number)


@register.filter
def spaced(word: str) -> str:
    """Return a known word as people write it: "not sure" for "not-sure"."""
    return str(word).replace("-", " ").replace("_", " ")


@register.filter
def ms_clock(at_ms: int | None, zone: ZoneInfo) -> str:
    """Return the wall-clock time of milliseconds, "?" where it is not known."""
    return clock(None if at_ms is None else from_ms(at_ms), zone)


@register.filter
def ms_day(at_ms: int, zone: ZoneInfo) -> str:
    """Return the local date of milliseconds as "Tue 3 Feb"."""
    return day_words(local_date(from_ms(at_ms), zone))


@register.filter
def left(until: timedelta | None) -> str:
    """Return a duration as "2 h 25 min"."""
    if until is None:
        return "not known"
    minutes = int(until.total_seconds() // 60)
    if minutes < 0:
        return "past"
    if minutes == 0:
        return "less than 1 min"
    hours, rest = divmod(minutes, 60)
    days, hours = divmod(hours, 24)
    if days:
        return f"{days} d {hours} h" if hours else f"{days} d"
    return " ".join([f"{hours} h"] * bool(hours) + [f"{rest} min"] * bool(rest))


@register.filter
def on_screen(says: str) -> str:
    """Return a sentence without the commands of the terminal that it names."""
    return _COMMAND.sub("", says).strip()


@register.filter
def picture(svg: str) -> SafeString:
    """Return a picture of ours to stand in a page, in the inks of its theme."""
    return mark_safe(themed(svg))  # noqa: S308  made by draw/, which escapes every word


@register.filter
def counted(number: int, nouns: str) -> str:
    """Return "1 dose" or "3 doses" for `nouns` "dose,doses"."""
    one, many = nouns.split(",")
    return f"{number:,} {one if number == 1 else many}"


@register.filter
def joined(parts: Iterable[object]) -> str:
    """Return the parts with commas between them."""
    return ", ".join(str(part) for part in parts)
