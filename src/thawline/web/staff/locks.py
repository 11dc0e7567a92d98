"""
When a screen locks: two minutes after the last touch at a station, ten for leads at a desk.

Twelve hours after somebody came in, they come in again. A page that looks for news by itself
is no touch. Source: HIPAA, 45 CFR 164.312(a)(2)(iii), automatic logoff; the times are our own.
"""

from datetime import timedelta

from django.contrib.auth import login
from django.http import HttpRequest

from thawline.base.instants import Instant, from_ms, to_ms
from thawline.base.roles import Role
from thawline.web.staff.clock import wall
from thawline.web.staff.models import Staff, Tablet

AT_A_STATION = timedelta(minutes=2)
AT_A_DESK = timedelta(minutes=10)
LONGEST = timedelta(hours=12)
NOTED_EVERY = timedelta(seconds=10)
BY_PASSPHRASE, BY_PIN, BY_BADGE = "passphrase", "pin", "badge"
DESK_ROLES = frozenset(
    {
        Role.SITE_LEAD,
        Role.VACCINE_COORDINATOR,
        Role.CLINICAL_LEAD,
        Role.TRAINER,
        Role.DATA_STEWARD,
        Role.TECHNICAL_ADMIN,
        Role.AUDITOR,
        Role.HEALTH_UNIT,
    }
)


def come_in(request: HttpRequest, staff: Staff, way: str, tablet: Tablet | None) -> None:
    """Begin a session with an id of its own; what somebody else left open ends."""
    login(request, staff)
    request.session["tablet"] = tablet.pk if tablet else None
    request.session["way"] = way
    request.session["since"] = request.session["seen"] = to_ms(wall())
    request.session["locked"] = False


def unlock(request: HttpRequest) -> None:
    """Open the same person's session again, with a new id; their half-filled form stays."""
    request.session.cycle_key()
    request.session["seen"] = to_ms(wall())
    request.session["locked"] = False


def lock(request: HttpRequest) -> None:
    """Lock the screen."""
    request.session["locked"] = True


def is_over(request: HttpRequest, tablet: Tablet | None) -> bool:
    """Say whether a session has ended: too old, or the tablet it was begun on is not this."""
    since = _at(request, "since")
    if since is None or wall() - since >= LONGEST:
        return True
    return request.session.get("tablet") != (tablet.pk if tablet else None)


def idle_limit(
    request: HttpRequest, roles: frozenset[Role], tablet: Tablet | None
) -> timedelta:
    """Return after how long without a touch the screen locks."""
    by_passphrase = request.session.get("way") == BY_PASSPHRASE
    at_a_desk = by_passphrase and tablet is None and bool(roles & DESK_ROLES)
    return AT_A_DESK if at_a_desk else AT_A_STATION


def is_locked(request: HttpRequest, limit: timedelta) -> bool:
    """Say whether the screen is locked; note a touch if it is not."""
    seen, now = _at(request, "seen"), wall()
    if request.session.get("locked") or seen is None or now - seen >= limit:
        if not request.session.get("locked"):
            lock(request)
        return True
    if _is_touch(request) and now - seen >= NOTED_EVERY:
        request.session["seen"] = to_ms(now)
    return False


def _is_touch(request: HttpRequest) -> bool:
    """Say whether a person asked; a page that asks by itself says that it is no document."""
    if request.method == "POST":
        return True
    if "If-None-Match" in request.headers:
        return False
    return request.headers.get("Sec-Fetch-Dest", "document") == "document"


def _at(request: HttpRequest, key: str) -> Instant | None:
    kept = request.session.get(key)
    return from_ms(kept) if isinstance(kept, int) else None
