"""Scanner test: two scans of one printed code show what a scanner types on this tablet."""

import msgspec
from django.http import HttpRequest, HttpResponse, JsonResponse
from django.views.decorators.csrf import csrf_protect
from django.views.decorators.http import require_POST
from msgspec import Struct

from thawline.base.errors import ExchangeError
from thawline.exchange.typed import TEST_CODE, advice, learned
from thawline.web.around import around
from thawline.web.denied import DeniedError
from thawline.web.pages import page
from thawline.web.screens import Screen
from thawline.web.squares import square
from thawline.web.who import who


class TwoScans(Struct, frozen=True, forbid_unknown_fields=True):
    """What arrived, twice."""

    first: str
    second: str


def show(request: HttpRequest) -> HttpResponse:
    """Return the test code, and where the two scans go."""
    with around(request) as round_:
        return page(request, round_, "scanner-test", {"code": square(TEST_CODE)})


@csrf_protect
@require_POST
def learn(request: HttpRequest) -> HttpResponse:
    """Return what two scans of the test code teach of the scanner, for the tablet to keep."""
    if not who(request).name:
        raise DeniedError("person", "log in first")
    try:
        scans = msgspec.json.decode(request.body, type=TwoScans)
        typing = learned(scans.first, scans.second)
    except msgspec.DecodeError as error:
        return JsonResponse({"says": f"this is not two scans: {error}"}, status=400)
    except ExchangeError as error:
        return JsonResponse({"says": error.says, "advice": [error.advice]}, status=422)
    told = {
        "separator": typing.separator,
        "hyphen": typing.hyphen,
        "swapped": typing.swapped,
        "caps": typing.caps,
    }
    says = (
        "This tablet knows the scanner." if advice(typing) else "All is well: nothing to set."
    )
    return JsonResponse({"says": says, "typing": told, "advice": advice(typing)})


SCREENS = (Screen("scanner-test", "Scanner test", "see-rules", show),)
