"""Who has a log-in and which tablets are enrolled, as plain lists for the pages."""

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date

from thawline.base.instants import Instant, instant
from thawline.base.roles import Role
from thawline.web.staff.models import SignOff, Staff, Tablet
from thawline.web.staff.sign_offs import today


@dataclass(frozen=True, slots=True)
class LogIn:
    """Somebody with a log-in: their roles of today, and how they can come in."""

    name: str
    badge: str
    roles: tuple[str, ...]
    is_active: bool
    has_passphrase: bool


@dataclass(frozen=True, slots=True)
class OneTablet:
    """A tablet of the site, and when it was last heard."""

    name: str
    station: str
    heard_at: Instant
    enrolled_by: str


@dataclass(frozen=True, slots=True)
class OneSignOff:
    """For what somebody is signed off, until when, by whom; `is_over` where that is past."""

    name: str
    role: str
    until: date
    by: str
    is_over: bool


def log_ins() -> list[LogIn]:
    """Return everybody who has a log-in, by name."""
    day = today()
    return [
        LogIn(
            name=row.name,
            badge=row.badge,
            roles=_current(row.sign_offs.all(), day),
            is_active=row.is_active,
            has_passphrase=row.has_usable_password(),
        )
        for row in Staff.objects.prefetch_related("sign_offs")
    ]


def _current(rows: Iterable[SignOff], day: date) -> tuple[str, ...]:
    return tuple(sorted(row.role for row in rows if row.until >= day))


def tablets() -> list[OneTablet]:
    """Return the tablets that are enrolled, by name."""
    return [
        OneTablet(row.name, row.station, instant(row.heard_at), row.enrolled_by)
        for row in Tablet.objects.filter(is_revoked=False)
    ]


def signed_off() -> list[OneSignOff]:
    """Return every sign-off, by role in the order of the roles, then by name."""
    order = list(Role)
    day = today()
    rows = [
        OneSignOff(row.staff.name, row.role, row.until, row.by, row.until < day)
        for row in SignOff.objects.select_related("staff")
        if row.staff.is_active
    ]
    return sorted(rows, key=lambda row: (order.index(Role(row.role)), row.name))


def names() -> list[str]:
    """Return the names of those who may come in."""
    return list(Staff.objects.filter(is_active=True).values_list("name", flat=True))
