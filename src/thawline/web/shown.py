"""How screens are shown: to whom the table of rights gives them, and only if they changed."""

from hashlib import sha256
from typing import Any

from django.http import HttpRequest, HttpResponse, HttpResponseRedirect, JsonResponse
from django.shortcuts import render
from django.views.decorators.http import require_GET, require_POST

from thawline.web.around import around
from thawline.web.here import here
from thawline.web.jobs import news
from thawline.web.onward import back
from thawline.web.pages import THEMES, frame
from thawline.web.press import DeniedError
from thawline.web.rights import Way
from thawline.web.screens import Screen, own_screen
from thawline.web.who import who

_YEAR_S = 365 * 24 * 3600


@require_GET
def show(request: HttpRequest, screen: Screen, **takes: str) -> HttpResponse:
    """Return a screen; 304 where nothing has happened since the tablet last asked."""
    if refused := _not_let_in(request, screen.action):
        return refused
    tag = _tag(request)
    if tag and request.headers.get("If-None-Match") == tag:
        return HttpResponse(status=304)
    response = screen.show(request, **takes)
    if tag:
        response["ETag"] = tag
    return response


def _not_let_in(request: HttpRequest, action: str) -> HttpResponse | None:
    looks = who(request)
    if looks.way(action) is not Way.DENIED:
        return None
    if not looks.name or looks.locked:
        return HttpResponseRedirect(f"/door?next={request.path}")
    raise DeniedError("role", "This screen needs another role.")


def _tag(request: HttpRequest) -> str:
    """Return what a page depends on, in short; empty where a message waits to be shown."""
    if request.session.get("refused"):
        return ""
    site = here()
    with site.ledger.view() as view:
        head = view.head.seq
    minute = int(site.now().timestamp() // 60)
    said = request.session.get("said") or {}
    looks = (str(who(request)), request.COOKIES.get("theme"))
    depends = (head, minute, said.get("id"), news(), *looks)
    return f'"{sha256(repr(depends).encode()).hexdigest()[:20]}"'


@require_GET
def own(request: HttpRequest) -> HttpResponse:
    """Return to the screen on which somebody opens; to the door if nobody is there."""
    looks = who(request)
    return HttpResponseRedirect(own_screen(looks) if looks.name else "/door")


@require_GET
def nothing_yet(request: HttpRequest) -> HttpResponse:
    """Return the page of somebody who is signed off for nothing."""
    screen = Screen("nothing-yet", "Not signed off", "", nothing_yet)
    with around(request) as round_:
        told: dict[str, Any] = frame(request, round_, screen)
    return render(request, "nothing_yet.html", told)


@require_GET
def state(request: HttpRequest) -> HttpResponse:
    """Return the newest entry's place and the site's time, for tablets to measure by."""
    site = here()
    with site.ledger.view() as view:
        head = view.head
    del request
    return JsonResponse(
        {
            "seq": head.seq,
            "epoch": head.epoch,
            "hash": head.hash.hex(),
            "now_ms": round(site.now().timestamp() * 1000),
        }
    )


@require_POST
def set_theme(request: HttpRequest) -> HttpResponse:
    """Set the tablet's theme and return to the page."""
    response = HttpResponseRedirect(back(request))
    if request.POST.get("theme") in THEMES:
        response.set_cookie(
            "theme", request.POST["theme"], max_age=_YEAR_S, secure=True, samesite="Strict"
        )
    return response
