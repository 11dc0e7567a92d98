"""Where a form goes on to: within this site, never elsewhere."""

from django.http import HttpRequest
from django.utils.http import url_has_allowed_host_and_scheme


def back(request: HttpRequest) -> str:
    """Return where a form asked to go on to, within this site; else the own screen."""
    return inside(request, request.POST.get("_next", ""))


def inside(request: HttpRequest, asked: str) -> str:
    """Return an address of this site as it was asked for; else the own screen."""
    safe = url_has_allowed_host_and_scheme(asked, {request.get_host()}, require_https=True)
    return asked if safe and asked.startswith("/") else "/"
