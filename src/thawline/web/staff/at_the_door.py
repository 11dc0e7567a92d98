"""Finds out who is at the screen, for every request, from the session and the tablet."""

from collections.abc import Callable

from django.contrib.auth import logout
from django.http import HttpRequest, HttpResponse

from thawline.web.staff import glass, locks
from thawline.web.staff.models import Staff, Tablet
from thawline.web.staff.sign_offs import current_roles
from thawline.web.staff.tablets import tablet_of
from thawline.web.who import Who, is_at

_OF_THE_SITE = ("/static/", "/worker.js")


class AtTheDoor:
    """Sets who is at the screen; nobody is where only files are asked for."""

    def __init__(self, answer: Callable[[HttpRequest], HttpResponse]) -> None:
        self._answer = answer

    def __call__(self, request: HttpRequest) -> HttpResponse:
        """Return the answer, for whoever is there."""
        if not request.path_info.startswith(_OF_THE_SITE):
            is_at(request, found(request))
        return self._answer(request)


def found(request: HttpRequest) -> Who:
    """Return who is at the screen; a session that is over, or whose person left, ends here."""
    tablet = tablet_of(request)
    user = request.user
    if isinstance(user, Staff) and not locks.is_over(request, tablet):
        return _who(request, user, tablet)
    if isinstance(user, Staff):
        logout(request)
    return Who(device=tablet.name if tablet else "", station=tablet.station if tablet else "")


def _who(request: HttpRequest, user: Staff, tablet: Tablet | None) -> Who:
    roles = current_roles(user)
    limit = locks.idle_limit(request, roles, tablet)
    return Who(
        name=user.name,
        roles=roles,
        device=tablet.name if tablet else "",
        station=request.session.get("station", "") or (tablet.station if tablet else ""),
        locked=locks.is_locked(request, limit),
        emergency=glass.reason_of(user),
        idle_s=round(limit.total_seconds()),
    )
