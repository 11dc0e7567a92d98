"""The PIN once more before a screen that the table of rights gives only with it."""

from datetime import timedelta

from django.http import HttpRequest, HttpResponse, HttpResponseRedirect
from django.views.decorators.http import require_http_methods

from thawline.base.instants import from_ms, to_ms
from thawline.web.here import here, title
from thawline.web.languages.chosen import rendered
from thawline.web.onward import back, inside
from thawline.web.staff.clock import wall
from thawline.web.staff.step_up import pin_fault
from thawline.web.who import who

LASTS = timedelta(minutes=10)
_KEPT = "pin_at"
_DENIED = 403


def is_fresh(request: HttpRequest) -> bool:
    """Say whether somebody typed their PIN again in the last minutes of this session."""
    kept = request.session.get(_KEPT)
    return isinstance(kept, int) and wall() - from_ms(kept) < LASTS


@require_http_methods(["GET", "POST"])
def pin_again(request: HttpRequest) -> HttpResponse:
    """Ask for the PIN, and go on to the screen."""
    looks = who(request)
    if not looks.name or looks.locked:
        return HttpResponseRedirect("/door")
    if request.method == "GET":
        return _page(request, "", request.GET.get("next", "/"))
    says = pin_fault(here(), looks.name, request.POST.get("pin", ""), looks.device)
    if says:
        return _page(request, says, back(request), _DENIED)
    request.session[_KEPT] = to_ms(wall())
    return HttpResponseRedirect(back(request))


def _page(request: HttpRequest, says: str, onward: str, status: int = 200) -> HttpResponse:
    told = {
        "said": says,
        "next": inside(request, onward),
        "site_title": title(),
        "who": who(request),
        "demo": here().demo,
    }
    return rendered(request, "pin.html", told, status=status)
