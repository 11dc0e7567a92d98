"""How large what is pressed with gloves is on one tablet: 20 mm, whatever its glass."""

from django.http import HttpRequest, HttpResponse, HttpResponseRedirect
from django.views.decorators.http import require_POST

from thawline.base.errors import RecordError
from thawline.web.onward import back

SIZES = range(64, 209, 4)
"""The sizes in CSS pixels that the style sheet knows; 104 px are 20 mm at 132 to the inch."""
_SIZES = {str(size): size for size in SIZES}
USUAL = 104
_COOKIE = "touch"
_YEAR_S = 365 * 24 * 3600


def size_of(request: HttpRequest) -> int:
    """Return the size that the tablet was set to."""
    kept = request.COOKIES.get(_COOKIE, "")
    return _SIZES.get(kept, USUAL)


def tried(request: HttpRequest) -> int:
    """Return the size that Set-up tries on this tablet now."""
    asked = request.GET.get("touch", "")
    return _SIZES.get(asked, size_of(request))


@require_POST
def set_touch(request: HttpRequest) -> HttpResponse:
    """Keep the size on this tablet; RecordError for one that is none."""
    asked = request.POST.get("touch", "")
    if asked not in _SIZES:
        raise RecordError(f"no size {asked[:10]!r}", advice="match the card on Set-up")
    response = HttpResponseRedirect(back(request))
    response.set_cookie(_COOKIE, asked, max_age=_YEAR_S, secure=True, samesite="Strict")
    return response
