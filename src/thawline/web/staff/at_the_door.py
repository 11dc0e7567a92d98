"""Finds out who is at the screen, for every request, from the session and the tablet."""

from collections.abc import Callable

from django.http import HttpRequest, HttpResponse

from thawline.base.instants import local_date
from thawline.base.roles import Role
from thawline.web.here import here
from thawline.web.staff.models import Staff
from thawline.web.who import NOBODY, Who, is_at


class AtTheDoor:
    """Sets `request.who`."""

    def __init__(self, answer: Callable[[HttpRequest], HttpResponse]) -> None:
        self._answer = answer

    def __call__(self, request: HttpRequest) -> HttpResponse:
        """Return the answer, for whoever is there."""
        is_at(request, found(request))
        return self._answer(request)


def found(request: HttpRequest) -> Who:
    """Return who is at the screen."""
    user = request.user
    if not isinstance(user, Staff):
        return NOBODY
    return Who(
        name=user.name,
        roles=current_roles(user),
        device=request.session.get("device", ""),
        station=request.session.get("station", ""),
    )


def current_roles(staff: Staff) -> frozenset[Role]:
    """Return the roles somebody is signed off for today."""
    site = here()
    today = local_date(site.now(), site.zone)
    rows = staff.sign_offs.filter(until__gte=today).values_list("role", flat=True)
    return frozenset(Role(role) for role in rows)
