"""Who is at a screen: the person, their current roles, the tablet and the station."""

from dataclasses import dataclass

from django.http import HttpRequest

from thawline.base.roles import Role
from thawline.web.rights import Way, way


@dataclass(frozen=True, slots=True)
class Who:
    """
    Who is at a screen.

    Args:
        name: As it stands in the ledger; empty: nobody is logged in.
        roles: Those they are signed off for, now.
        device: The tablet's name; empty: it is not enrolled.
        station: Where they work; empty: they said none.
        locked: The screen is locked: nobody acts but on the emergency card.
        emergency: They broke the glass, and for what.
        idle_s: After how many seconds without a touch the screen locks; 0: nobody is there.
    """

    name: str = ""
    roles: frozenset[Role] = frozenset()
    device: str = ""
    station: str = ""
    locked: bool = False
    emergency: str = ""
    idle_s: int = 0

    def way(self, action: str) -> Way:
        """Return in which way they may do something now."""
        if self.locked:
            return way(action, frozenset())
        return way(action, self.roles, glass=bool(self.emergency))

    def may(self, action: str) -> bool:
        """Say whether they may, in any way."""
        return self.way(action) is not Way.DENIED


NOBODY = Who()
_KEPT = "thawline.who"  # no header of a request can have this name


def is_at(request: HttpRequest, found: Who) -> None:
    """Keep who was found to be at the screen, for the rest of this request."""
    request.META[_KEPT] = found


def who(request: HttpRequest) -> Who:
    """Return who is at the screen, as the door found out."""
    found = request.META.get(_KEPT, NOBODY)
    return found if isinstance(found, Who) else NOBODY
