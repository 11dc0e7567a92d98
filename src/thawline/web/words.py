"""Filters for templates: times, durations, counts, as the site writes them."""

import re
from collections.abc import Iterable, Mapping
from datetime import date, time, timedelta
from functools import lru_cache
from zoneinfo import ZoneInfo

from django import template
from django.utils.html import escape, format_html
from django.utils.safestring import SafeString, mark_safe

from thawline.base.errors import RecordError
from thawline.base.instants import Instant, from_ms, last_minute, local_date, local_time
from thawline.give.look_alike import looks_like
from thawline.web.ink import themed
from thawline.web.slabs import Slab

register = template.Library()
_LENGTH = re.compile(r"P(?:(\d+)D)?(?:T(?:(\d+)H)?(?:(\d+)M)?)?", re.ASCII)
_LANGUAGES = {"en": "English", "es": "Spanish"}
_LEAST_SHOWN = 0.0005  # the last digit that is shown
_MIDNIGHT, _AT_MIDNIGHT = "00:00", "start of"
_CLOCK = re.compile(r"([01]?[0-9]|2[0-3])[:.]?([0-5][0-9])", re.ASCII)
_COMMAND = re.compile(r"(?:, then)?:? ?(?:or )?thawline [^.;,]*")


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
    day, wall = local_date(at, zone), local_time(at, zone).strftime("%H:%M")
    if day == today:
        return wall
    return f"{wall if wall != _MIDNIGHT else _AT_MIDNIGHT} {day_words(day)}"


@register.filter("last_minute")
def ends(at: Instant | None, around: tuple[ZoneInfo, date]) -> str:
    """Return by when something ends, never as midnight; with the date of another day."""
    if at is None:
        return "not known"
    zone, today = around
    day, wall = last_minute(at, zone)
    return f"{wall:%H:%M}" if day == today else f"{wall:%H:%M} {day_words(day)}"


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
def of_100(chance: float) -> str:
    """Return a chance in percent; never "0 %" for something that can happen."""
    if 0 < chance < _LEAST_SHOWN:
        return "<0.1 %"
    return f"{chance:.1%}".replace("%", " %")


@register.filter
def in_minutes(seconds: float) -> str:
    """Return seconds as minutes with their sign, for a difference."""
    return f"{seconds / 60:+.1f}".replace("-", "\N{MINUS SIGN}")


@register.filter
def split(names: str) -> list[str]:
    """Return the names that stand with commas between them."""
    return names.split(",")


@register.filter
def since(now: Instant, then: Instant) -> timedelta:
    """Return how long ago something was."""
    return now - then


@register.filter
def at_ms(ms: int) -> Instant:
    """Return the moment of a time as the ledger keeps it."""
    return from_ms(ms)


@register.filter
def get(found: Mapping[str, object], name: str) -> object:
    """Return what stands under a name that has a hyphen; None where nothing does."""
    return found.get(name)


@register.filter
def on_screen(says: str) -> str:
    """Return a sentence without the commands of the terminal that it names."""
    return _COMMAND.sub("", says).strip(" ,;:")


@register.filter
def picture(svg: str) -> SafeString:
    """Return a picture of ours to stand in a page, in its inks; its words are English."""
    english = svg.replace("<svg ", '<svg lang="en" ', 1)
    return mark_safe(themed(english))  # noqa: S308  made by draw/, which escapes every word


@register.filter
def count(number: int) -> str:
    """Return a count with commas between its thousands: 4,041,396."""
    return f"{number:,}"


@register.filter
def counted(number: int, nouns: str) -> str:
    """Return "1 dose" or "3 doses" for `nouns` "dose,doses"."""
    one, many = nouns.split(",")
    return f"{number:,} {one if number == 1 else many}"


@register.filter
def lot(printed: str, lots: Iterable[str]) -> SafeString:
    """Return a lot whole, with the characters bold by which it differs from its look-alikes."""
    return _lot(printed, tuple(lots))


@lru_cache(1000)
def _lot(printed: str, lots: tuple[str, ...]) -> SafeString:
    twins = [other for other in lots if looks_like(printed, other)]
    apart = {
        place
        for other in twins
        for place, (mine, theirs) in enumerate(zip(printed, other.strip(), strict=False))
        if mine.upper() != theirs.upper()
    }
    marked = (
        format_html("<b>{}</b>", sign) if place in apart else escape(sign)
        for place, sign in enumerate(printed)
    )
    return format_html('<span class="code lot">{}</span>', mark_safe("".join(marked)))  # noqa: S308


@register.filter
def unlike(slabs: Iterable[Slab], shown: Iterable[Slab]) -> list[Slab]:
    """Return the slabs that do not say what stands above already."""
    said = {(each.level, each.what) for each in shown}
    return [each for each in slabs if (each.level, each.what) not in said]


@register.filter
def place_words(account: str) -> str:
    """Return a place of the book as people say it: "freezer-1", "syringe XV02W-02"."""
    kind, _, name = account.partition(":")
    return account if not name else name if kind == "stock" else f"{kind} {name}"


@register.filter
def joined(parts: Iterable[object]) -> str:
    """Return the parts with commas between them."""
    return ", ".join(str(part) for part in parts)


def read_clock(typed: str) -> time:
    """
    Return a time of day that somebody typed: 16:30, 1630 or 16.30.

    Raises:
        RecordError: It is none.
    """
    found = _CLOCK.fullmatch(typed.strip())
    if found is None:
        raise RecordError(f"{typed!r} is no time of day", advice="as in 16:30")
    return time(int(found[1]), int(found[2]))
