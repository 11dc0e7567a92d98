"""
The PIN once more, one's own or a second person's: whether it fits, and whose role it brings.

Tries are counted for each person and tablet, as at the door.
"""

from dataclasses import dataclass

from thawline.app.ports import Pins, Site
from thawline.base.roles import Role
from thawline.web.staff import misses
from thawline.web.staff.models import Staff
from thawline.web.staff.sign_offs import named, roles_of

_DESK = "desk"


@dataclass(frozen=True, slots=True)
class StaffPins:
    """A site's PINs; the role that goes with one is what its owner is signed off for today."""

    kept: Pins

    def fits(self, name: str, pin: str) -> bool:
        """Say whether the PIN is this person's."""
        return self.kept.fits(name, pin)

    def role_of(self, name: str) -> Role | None:
        """Return clinical lead for whoever is that today; None for others."""
        return Role.CLINICAL_LEAD if Role.CLINICAL_LEAD in roles_of(name) else None


def pin_fault(site: Site, name: str, pin: str, device: str) -> str:
    """Return "" where the PIN is theirs; else what to do about it."""
    if not pin:
        return "type the PIN"
    place = device or _DESK
    if says := misses.refused_try(misses.PIN, name, place):
        return says
    if not site.pins.fits(name, pin):
        return "that PIN does not fit: type it again"
    misses.fitted(misses.PIN, name, place)
    return ""


def somebody(text: str) -> Staff | None:
    """Return the second person by name or badge; None for nobody, or who may not come in."""
    found = named(text)
    return found if found is not None and found.is_active else None
