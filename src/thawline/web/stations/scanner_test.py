"""Scanner test: two scans of one printed code show what a scanner types on this tablet."""

import msgspec
from django.http import HttpRequest, HttpResponse
from django.views.decorators.csrf import csrf_protect
from django.views.decorators.http import require_POST
from msgspec import Struct

from thawline.base.errors import ExchangeError
from thawline.exchange.typed import TEST_CODE, Typing, advice, learned
from thawline.web.around import around
from thawline.web.pages import page
from thawline.web.refusals import Refusal, answer, body_of
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


class Learned(Struct, frozen=True):
    """What two scans teach of a scanner; `typing`: for the tablet to keep, if it is known."""

    says: str
    advice: list[str]
    typing: Typing | None = None


@csrf_protect
@require_POST
def learn(request: HttpRequest) -> HttpResponse:
    """Return what two scans of the test code teach of the scanner, for the tablet to keep."""
    if not who(request).name:
        return answer(Refusal("denied", "log in first", "", "person"), 401)
    try:
        scans = body_of(request, TwoScans)
        typing = learned(scans.first, scans.second)
    except msgspec.DecodeError as error:
        return answer(Refusal("form", f"this is not two scans: {error}", ""), 400)
    except ExchangeError as error:
        return answer(Learned(error.says, [error.advice]), 422)
    says = (
        "This tablet knows the scanner." if advice(typing) else "All is well: nothing to set."
    )
    return answer(Learned(says, advice(typing), typing), 200)


SCREENS = (Screen("scanner-test", "Scanner test", "see-rules", show),)
