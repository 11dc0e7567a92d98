"""How screens are shown: to whom the table of rights gives them, and only if they changed."""

from hashlib import sha256
from typing import Any

from django.http import (
    HttpRequest,
    HttpResponse,
    HttpResponseNotAllowed,
    HttpResponseRedirect,
)
from django.middleware.csrf import get_token
from django.views.decorators.http import require_GET, require_http_methods, require_POST
from msgspec import Struct

from thawline.base.instants import to_ms
from thawline.web.around import around, is_by_itself, shows_names
from thawline.web.denied import DeniedError
from thawline.web.here import here
from thawline.web.jobs import news
from thawline.web.languages.chosen import language_of, rendered
from thawline.web.last_said import said, said_against
from thawline.web.onward import back
from thawline.web.pages import THEMES, frame, theme_of
from thawline.web.refusals import answer
from thawline.web.rights import Way
from thawline.web.screens import Screen, own_screen
from thawline.web.settled import settled
from thawline.web.staff.again import is_fresh
from thawline.web.who import who

KEPT = frozenset(
    {
        "draw-table",
        "chair",
        "screening",
        "observation-area",
        "carries",
        "vials",
        "cold-store",
        "emergency-card",
    }
)
"""The stations' own pages, which a tablet keeps for the time the server is away."""
_ASKS_ITSELF = {"break-glass"}
"""What asks for the PIN with its one act; nobody types it twice in an emergency."""
_YEAR_S = 365 * 24 * 3600


@require_http_methods(["GET", "POST"])
def show(request: HttpRequest, screen: Screen, **takes: str) -> HttpResponse:
    """Return a screen; 304 where nothing has happened since the tablet last asked."""
    if refused := _not_let_in(request, screen.action):
        return refused
    if request.method == "POST":
        return screen.show(request, **takes) if screen.asks else HttpResponseNotAllowed(["GET"])
    tag = _tag(request, screen)
    if tag and request.headers.get("If-None-Match") == tag:
        return HttpResponse(status=304)
    response = screen.show(request, **takes)
    if tag:
        response["ETag"] = tag
    if screen.path in KEPT and not request.GET and not shows_names(request):
        response["Thawline-Keep"] = "yes"
    return response


def _not_let_in(request: HttpRequest, action: str) -> HttpResponse | None:
    looks = who(request)
    found = looks.way(action)
    if found in {Way.PIN, Way.TWO} and action not in _ASKS_ITSELF and not is_fresh(request):
        return HttpResponseRedirect(f"/pin?next={request.path}")
    if found is not Way.DENIED:
        return None
    if not looks.name or looks.locked:
        return HttpResponseRedirect(f"/door?next={request.path}")
    raise DeniedError("role", "This screen needs another role.")


def _tag(request: HttpRequest, screen: Screen) -> str:
    """Return what a page depends on, in short."""
    site = here()
    with site.ledger.view() as view:
        head = view.head
    if screen.sums:
        asked = (site.ledger, head, site.now(), screen.path)
        head = settled(*asked, by_itself=is_by_itself(request))
    minute = int(site.now().timestamp() // 60)
    line, against = said(request) or {}, said_against(request) or {}
    told = (line.get("id"), line.get("at"), against.get("at"), news())
    depends = (
        head.seq,
        minute,
        str(who(request)),
        told,
        theme_of(request),
        language_of(request),
    )
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
    return rendered(request, "nothing_yet.html", told)


class Newest(Struct, frozen=True):
    """The newest entry's place, the site's time in ms since 1970, and a fresh word for acts."""

    seq: int
    epoch: int
    hash: str
    now_ms: int
    csrf: str


@require_GET
def state(request: HttpRequest) -> HttpResponse:
    """Return the newest entry's place and the site's time, for tablets to measure by."""
    site = here()
    with site.ledger.view() as view:
        head = view.head
    now_ms, csrf = to_ms(site.now()), get_token(request)
    return answer(Newest(head.seq, head.epoch, head.hash.hex(), now_ms, csrf))


@require_POST
def set_theme(request: HttpRequest) -> HttpResponse:
    """Set the tablet's theme and return to the page."""
    response = HttpResponseRedirect(back(request))
    if request.POST.get("theme") in THEMES:
        response.set_cookie(
            "theme", request.POST["theme"], max_age=_YEAR_S, secure=True, samesite="Strict"
        )
    return response
