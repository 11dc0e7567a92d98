"""
Breaking the glass: in an emergency a named clinical lead may do more, for an hour.

What more, `rights.toml` says row by row. It is a reason, an entry of the ledger and a mark on
every screen of the site; it never lets anybody use or release what the rules hold.
"""

from dataclasses import dataclass
from datetime import datetime, timedelta

from django.db import transaction

from thawline.base.instants import Instant, instant
from thawline.web.staff.clock import wall
from thawline.web.staff.known import known, unless_changed
from thawline.web.staff.models import Glass, Staff

LASTS = timedelta(minutes=60)


@dataclass(frozen=True, slots=True)
class Broken:
    """A glass that is broken now: by whom, why and for how long."""

    by: str
    reason: str
    minutes_left: int


def break_glass(staff: Staff, reason: str) -> None:
    """Let more be theirs from now on, for an hour."""
    now = wall()
    with transaction.atomic():
        Glass.objects.create(staff=staff, reason=reason, broken_at=now, ends_at=now + LASTS)


def end_glass(staff: Staff) -> int:
    """Let only what their role allows be theirs again; return how many were ended."""
    now = wall()
    return Glass.objects.filter(staff=staff, ends_at__gt=now).update(ends_at=now)


def broken() -> list[Broken]:
    """Return every glass that is broken now at this site."""
    now = wall()
    return [
        Broken(name, reason, _minutes(instant(ends), now))
        for name, reason, ends in unless_changed("glass", _all)
        if instant(ends) > now
    ]


def reason_of(staff: Staff) -> str:
    """Return why somebody's glass is broken now; empty: it is whole."""
    found, now = known(staff.pk), wall()
    broken_now = (
        (reason for reason, ends in found.glass if instant(ends) > now) if found else ()
    )
    return next(iter(broken_now), "")


def _all() -> list[tuple[str, str, datetime]]:
    rows = Glass.objects.filter(staff__is_active=True)
    return list(rows.values_list("staff__name", "reason", "ends_at"))


def _minutes(ends: Instant, now: Instant) -> int:
    return max(1, round((ends - now) / timedelta(minutes=1)))
