"""Turns the shared options of a question into the site and the moment."""

import re
from datetime import date, datetime, time
from zoneinfo import ZoneInfo

from thawline.adapters.wiring import open_site
from thawline.app.ports import Site
from thawline.base.errors import RecordError
from thawline.base.instants import Instant, instant, local_date, local_instant
from thawline.cli.surroundings import home, note_demo

_WALL = re.compile(r"(\d{1,2}):(\d{2})", re.ASCII)
_NOON = time(12)


def site_named(name: str | None) -> Site:
    """Return the site of that name, or the only one there is."""
    site = open_site(home(), name)
    note_demo(is_demo=site.demo)
    return site


def moment(text: str | None, now: Instant, zone: ZoneInfo) -> Instant:
    """
    Return the moment a person typed: 13:37 today, a date at noon, or a full time.

    Raises:
        RecordError: It is none of these, or a local time that does not exist or exists twice.
    """
    if text is None:
        return now
    if match := _WALL.fullmatch(text):
        hours, minutes = int(match.group(1)), int(match.group(2))
        if hours > 23 or minutes > 59:  # noqa: PLR2004  the clock's own numbers
            raise RecordError(f"not a time of day: {text!r}", advice="write it as 13:37")
        return local_instant(local_date(now, zone), time(hours, minutes), zone)
    try:
        typed = datetime.fromisoformat(text)
    except ValueError as error:
        raise RecordError(
            f"not a time: {text!r}", advice="write 13:37 or 2026-02-03T13:37:00-06:00"
        ) from error
    if len(text) == len("2026-03-02"):
        return local_instant(date.fromisoformat(text), _NOON, zone)
    if typed.tzinfo is None:
        return local_instant(typed.date(), typed.time(), zone)
    return instant(typed)
