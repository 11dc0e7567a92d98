"""
Where the times of a logger file are local: a named zone, or an offset from UTC.

A file says so over its column of times or on a line about its zone. Abbreviations such as CST
stand for several zones and are not taken. An offset beside words about summer time, or beside
the name of a region, may hold for half the year only: then the zone is asked for.
"""

import re
from collections.abc import Iterator, Sequence
from datetime import UTC, timedelta, timezone
from zoneinfo import ZoneInfo

from thawline.base.errors import ExchangeError, UnknownZoneError
from thawline.base.instants import zone_named
from thawline.exchange.loggers.cells import ms_of_offset
from thawline.exchange.loggers.lines import Row
from thawline.exchange.loggers.said import Said, differing

Zone = ZoneInfo | timezone
_ABOUT = re.compile(
    r"\b(?:time\s?-?zone|zone|tz|zona|times?|timestamps?|offset|horas?|clock)\b", re.IGNORECASE
)
_NAMED = re.compile(r"\b[A-Z][A-Za-z]+(?:/[A-Z][A-Za-z_-]+){1,2}\b")
_FIXED = re.compile(
    r"\b(?:UTC|GMT)\b(?:\s?offset\b)?[\s:=,;|\"]{0,4}(?P<offset>[+\-−]\s?\d{1,2}(?::?\d{2})?)?",  # noqa: RUF001
    re.IGNORECASE,
)
_OFFSET_LINE = re.compile(
    r"\b(?:time\s?-?zone|tz|zona)\b[^+\-−\d]{0,20}(?P<offset>[+\-−]\d{1,2}:?\d{2})\b",  # noqa: RUF001
    re.IGNORECASE,
)
_CLOCK_TIME = re.compile(r"\d:\d{2}\S*\s*(?:[ap]m\s*)?$", re.IGNORECASE)
_SUMMER = re.compile(
    r"\b(?:daylight|dst|summer\s?time|horario de verano)\b"
    r"(?!\W{1,4}(?:off|no|none|disabled)\b)",
    re.IGNORECASE,
)
_REGION = re.compile(r"\((?:UTC|GMT)\s?[+\-−]?[\d:]*\)\s*[A-Z]", re.IGNORECASE)  # noqa: RUF001


def stated_zone(rows: Sequence[Row], time_names: Sequence[Said[str]]) -> Said[Zone] | None:
    """
    Return the zone that the lines above a table, or the names of its time columns, state.

    Raises:
        ExchangeError: Two lines state different ones.
    """
    found = [
        *(said for name in time_names for said in _in(name.text, name.line, always=True)),
        *(said for row in rows for said in _in(" ".join(row.cells), row.line, always=False)),
    ]
    if any(_SUMMER.search(" ".join(row.cells)) for row in rows):
        found = [said for said in found if isinstance(said.value, ZoneInfo)]
    other = differing(found) if found else None
    if other is not None:
        raise ExchangeError(
            f"two time zones: {found[0].shown()} and {other.shown()}",
            advice="correct one of them in the file",
        )
    return found[0] if found else None


def shown_zone(zone: Zone) -> str:
    """Return a zone's name, "UTC", or "UTC-06:00"."""
    if isinstance(zone, ZoneInfo):
        return zone.key
    return "UTC" if zone == UTC else str(zone)


def fixed_zone(offset_ms: int) -> timezone:
    """Return the zone that is always so far ahead of UTC."""
    return timezone(timedelta(milliseconds=offset_ms)) if offset_ms else UTC


def _in(text: str, line: int, *, always: bool) -> Iterator[Said[Zone]]:
    for name in _NAMED.findall(text):
        if zone := _zone(name):
            yield Said(zone, line, text)
            return
    if not (always or _ABOUT.search(text)) or _REGION.search(text):
        return
    match = _OFFSET_LINE.search(text) or _FIXED.search(text)
    if match is None or _CLOCK_TIME.search(text[: match.start()]):
        return
    if not match["offset"] and "offset" in text.lower():
        return
    offset = ms_of_offset((match["offset"] or "Z").replace(" ", ""))
    if offset is not None:
        yield Said(fixed_zone(offset), line, text)


def _zone(name: str) -> ZoneInfo | None:
    try:
        return zone_named(name)
    except UnknownZoneError:
        return None
