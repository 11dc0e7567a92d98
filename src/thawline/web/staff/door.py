"""The way in and out: a name and a passphrase; on a tablet of the site a PIN, then a badge."""

from dataclasses import dataclass

from django.contrib.auth import authenticate, logout
from django.http import HttpRequest, HttpResponse, HttpResponseRedirect
from django.views.decorators.http import require_http_methods, require_POST

from thawline.web.here import here, title
from thawline.web.languages.chosen import rendered
from thawline.web.onward import back, inside
from thawline.web.screens import open_to_anybody
from thawline.web.staff import locks, misses, shifts
from thawline.web.staff.models import Staff, Tablet
from thawline.web.staff.sign_offs import named
from thawline.web.staff.tablets import tablet_of
from thawline.web.who import who

_NO_FIT = "Name and passphrase do not fit together. Type both again."
_NO_PIN = "Name and PIN do not fit together. Type both again."
_NO_TABLET = "Type your name and passphrase. A PIN works on a tablet of the site only."
_LOCKED = 423
_DENIED = 403


@dataclass(frozen=True, slots=True)
class _Tried:
    """Who came in and how; or nobody, and what to say."""

    staff: Staff | None = None
    way: str = ""
    says: str = ""


@require_http_methods(["GET", "POST"])
def door(request: HttpRequest) -> HttpResponse:
    """Show the door, or let somebody in; on a locked screen, the way back to one's own page."""
    tablet = tablet_of(request)
    if request.method == "GET":
        return _shown(request, tablet, "", request.GET.get("next", "/"))
    tried = _tried(request, tablet)
    if tried.staff is None:
        return _shown(request, tablet, tried.says, back(request), _DENIED)
    if who(request).locked and request.user == tried.staff:
        locks.unlock(request)
        return _by_script(request) or HttpResponseRedirect(back(request))
    onward = back(request) if not who(request).name else "/"
    locks.come_in(request, tried.staff, tried.way, tablet)
    if station := request.POST.get("station", "").strip()[:40]:
        request.session["station"] = station
    return HttpResponseRedirect(onward)


def _by_script(request: HttpRequest) -> HttpResponse | None:
    """Return an empty answer where the page stays as it is, half-filled form and all."""
    return (
        HttpResponse(status=204) if request.headers.get("Sec-Fetch-Dest") == "empty" else None
    )


def _shown(
    request: HttpRequest, tablet: Tablet | None, says: str, onward: str, status: int = 200
) -> HttpResponse:
    looks = who(request)
    told = {
        "said": says,
        "next": inside(request, onward),
        "name": request.POST.get("name", "") or (looks.name if looks.locked else ""),
        "tablet": tablet,
        "locked": looks.locked,
        "who": looks,
        "site_title": title(),
        "demo": here().demo,
        "to_anybody": open_to_anybody(),
    }
    return rendered(request, "door.html", told, status=status)


def _tried(request: HttpRequest, tablet: Tablet | None) -> _Tried:
    name = " ".join(request.POST.get("name", "").split())
    passphrase, pin = request.POST.get("passphrase", ""), request.POST.get("pin", "")
    if passphrase:
        return _by_passphrase(request, name, passphrase, tablet)
    if tablet is None:
        return _Tried(says=_NO_TABLET)
    if pin and not pin.isdecimal():  # a badge was scanned while the cursor stood there
        name, pin = pin.strip(), ""
    if pin:
        return _by_pin(name, pin, tablet)
    return _by_badge(name, tablet)


def _by_passphrase(
    request: HttpRequest, name: str, passphrase: str, tablet: Tablet | None
) -> _Tried:
    place = _place(request, tablet)
    if says := misses.refused_try(misses.PASSPHRASE, name, place):
        return _Tried(says=says)
    found = named(name)
    staff = authenticate(request, username=found.name if found else name, password=passphrase)
    if not isinstance(staff, Staff):
        return _Tried(says=_NO_FIT)
    for what in (misses.PASSPHRASE, misses.PIN):
        misses.fitted(what, name, place)
        misses.fitted(what, staff.name, place)
    return _Tried(staff, locks.BY_PASSPHRASE)


def _by_pin(name: str, pin: str, tablet: Tablet) -> _Tried:
    found = named(name)
    counted = found.name if found else name
    if says := misses.refused_try(misses.PIN, counted, tablet.name):
        return _Tried(says=says)
    if found is None or not found.is_active or not here().pins.fits(found.name, pin):
        return _Tried(says=_NO_PIN)
    misses.fitted(misses.PIN, counted, tablet.name)
    shifts.begin(found, tablet)
    return _Tried(found, locks.BY_PIN)


def _by_badge(text: str, tablet: Tablet) -> _Tried:
    """Let whoever typed their PIN here this shift in by badge; a typed name is no badge."""
    found = Staff.objects.filter(badge=text, is_active=True).first() if text else None
    if found is None:
        return _Tried(says="Scan your badge, or type your name and PIN.")
    if not shifts.is_on(found, tablet):
        return _Tried(says="Type your PIN once on this tablet. After that the badge is enough.")
    return _Tried(found, locks.BY_BADGE)


def _place(request: HttpRequest, tablet: Tablet | None) -> str:
    return tablet.name if tablet else request.META.get("REMOTE_ADDR", "")


@require_POST
def lock(request: HttpRequest) -> HttpResponse:
    """Lock the screen; its page may stay behind the lock."""
    if who(request).name:
        locks.lock(request)
    return _by_script(request) or HttpResponseRedirect("/door")


@require_POST
def touched(request: HttpRequest) -> HttpResponse:
    """Note that somebody still works at the page; 423 where it is locked already."""
    looks = who(request)
    return HttpResponse(status=_LOCKED if looks.locked or not looks.name else 204)


@require_POST
def leave(request: HttpRequest) -> HttpResponse:
    """Log out. The tablet's worker wipes the pages that it keeps, not the entries."""
    logout(request)
    response = HttpResponseRedirect("/door")
    response["Clear-Site-Data"] = '"cache"'  # never "storage": entries may wait there
    return response
