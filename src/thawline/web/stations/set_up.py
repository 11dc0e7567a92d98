"""Set-up: the site and its units, who has a log-in, its tablets, and how large a thumb is."""

from typing import Any

import segno
from django.conf import settings
from django.http import HttpRequest, HttpResponse

from thawline.adapters import sites
from thawline.adapters.authority import fingerprint_of
from thawline.base.errors import RecordError
from thawline.store.units import CALLED, FOLLOWED
from thawline.web.around import around
from thawline.web.here import folder, settings_here
from thawline.web.pages import page
from thawline.web.screens import Screen
from thawline.web.staff import codes, roll
from thawline.web.staff.clock import wall
from thawline.web.touch import SIZES, tried

_OWN = ("localhost", "127.0.0.1")


def show(request: HttpRequest) -> HttpResponse:
    """Return the page."""
    size, told = tried(request), _fingerprint()
    with around(request) as round_:
        units = round_.site.units
        own = {
            "log_ins": roll.log_ins(),
            "tablets": [_with_age(each) for each in roll.tablets()],
            "codes": [_square(request, each, told) for each in codes.still_good(codes.TABLET)],
            "person_codes": codes.still_good(codes.PERSON),
            "fingerprint": told,
            "settings": settings_here(),
            "units": [(each, CALLED[each.band], FOLLOWED[each.followed]) for each in units],
            "bands": tuple(CALLED.items()),
            "ways": tuple(FOLLOWED.items()),
            "reachable": _best_name() not in _OWN,
            "size": size,
            "wider": size + SIZES.step if size + SIZES.step in SIZES else None,
            "narrower": size - SIZES.step if size - SIZES.step in SIZES else None,
        }
        return page(request, round_, "set-up", own)


def _with_age(tablet: roll.OneTablet) -> dict[str, Any]:
    return {
        "name": tablet.name,
        "station": tablet.station,
        "ago": wall() - tablet.heard_at,
        "by": tablet.enrolled_by,
    }


def _square(request: HttpRequest, code: codes.Handed, told: str) -> dict[str, Any]:
    """Return a code as a square for a tablet's camera: the address, then whom to trust."""
    place = f"https://{_best_name()}:{request.get_port()}"
    text = f"{place}/enrol?code={code.code}#{told.replace(':', '')}"
    square = segno.make(text, error="m").svg_inline(scale=4, dark="#000", light="#fff")
    return {"code": code, "square": square, "place": place}


def _best_name() -> str:
    return str(settings.ALLOWED_HOSTS[0])


def _fingerprint() -> str:
    try:
        return fingerprint_of(folder() / sites.KEYS)
    except RecordError:
        return ""


SCREENS = (Screen("set-up", "Set-up", "see-set-up", show),)
