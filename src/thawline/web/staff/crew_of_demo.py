"""
Log-ins for everybody of the invented crew, at the first start of a demo's site.

They come from the names alone, so that each start can show them again; a live site has none.
"""

from dataclasses import dataclass
from datetime import timedelta
from hashlib import sha256
from pathlib import Path

from thawline.adapters import sites
from thawline.adapters.pins import FilePins
from thawline.base.roles import Role
from thawline.demo.folder import seed_of
from thawline.demo.staff import UNIT, Member, staff
from thawline.web.staff.models import SignOff, Staff
from thawline.web.staff.sign_offs import today

PASSPHRASE = "demo demo demo demo"  # noqa: S105  of invented people
_LASTS = timedelta(days=365)
_BY = "the demo"
_PIN_RANGE, _PIN_LOWEST = 900_000, 100_000


@dataclass(frozen=True, slots=True)
class Shown:
    """How one of the crew comes in."""

    role: str
    name: str
    badge: str
    pin: str


def let_in(folder: Path) -> list[Shown]:
    """Make the crew's log-ins where there are none; return one person a role."""
    crew = _crew(folder)
    if not Staff.objects.exists():
        pins = FilePins(folder / sites.KEYS)
        for member in crew:
            _employ(member, pins)
    shown: dict[Role, Member] = {}
    for member in crew:
        shown.setdefault(member.role, member)
    known = set(Staff.objects.values_list("name", flat=True))
    return [
        Shown(role.value, shown[role].called, _badge(shown[role]), _pin(shown[role]))
        for role in Role
        if role in shown and shown[role].called in known
    ]


def _crew(folder: Path) -> list[Member]:
    """Return who works at the site, and at the unit; the auditor is one of the latter."""
    seed = seed_of(folder.parent.parent)
    crew = [member for member in staff(seed) if member.place in {folder.name, UNIT}]
    units = [member for member in crew if member.role is Role.HEALTH_UNIT]
    return [*crew, Member(units[-1].called, Role.AUDITOR, UNIT)] if units else crew


def _employ(member: Member, pins: FilePins) -> None:
    person, is_new = Staff.objects.get_or_create(
        name=member.called, defaults={"badge": _badge(member)}
    )
    if is_new:
        person.set_password(PASSPHRASE)
        person.save()
        lead = Role.CLINICAL_LEAD if member.role is Role.CLINICAL_LEAD else None
        pins.put(member.called, _pin(member), lead)
    SignOff.objects.get_or_create(
        staff=person,
        role=member.role.value,
        defaults={"until": today() + _LASTS, "by": _BY},
    )


def _badge(member: Member) -> str:
    """Return the text on their badge: DEMO and six digits of the name's own."""
    return f"DEMO-{_told(member, 'badge')}"


def _pin(member: Member) -> str:
    return _told(member, "pin")


def _told(member: Member, what: str) -> str:
    told = int.from_bytes(sha256(f"{what} {member.called}".encode()).digest()[:8], "big")
    return str(_PIN_LOWEST + told % _PIN_RANGE)
