"""What a tablet says of itself every half minute, and the holds that were on its screen."""

from typing import Annotated

import msgspec
from django.http import HttpRequest, HttpResponse, JsonResponse
from django.views.decorators.csrf import csrf_protect
from django.views.decorators.http import require_POST
from msgspec import Meta, Struct

from thawline.web.here import here
from thawline.web.tablets.heard import Word, arrived, hear, shown
from thawline.web.who import who

Count = Annotated[int, Meta(ge=0, le=10_000_000)]


class Said(Struct, frozen=True, forbid_unknown_fields=True):
    """
    A tablet's own code, its newest entry's number, how many wait, the holds it has shown.

    `taken_back`: numbers of entries that will never be sent, as they were undone before.
    """

    tablet: Annotated[str, Meta(min_length=4, max_length=16)]
    last: Count = 0
    waiting: Count = 0
    holds: Annotated[list[Count], Meta(max_length=500)] = []
    taken_back: Annotated[list[Count], Meta(max_length=500)] = []


@csrf_protect
@require_POST
def heard(request: HttpRequest) -> HttpResponse:
    """Keep what a tablet says, if somebody is at it or it is enrolled."""
    looks = who(request)
    if not looks.name and not looks.device:
        return JsonResponse({"says": "log in first"}, status=401)
    try:
        said = msgspec.json.decode(request.body, type=Said)
    except msgspec.DecodeError as error:
        return JsonResponse({"says": f"this is not a tablet's word: {error}"}, status=400)
    at = here().now()
    hear(Word(said.tablet, looks.device, looks.station, said.last, said.waiting), at)
    for number in said.taken_back:
        arrived(said.tablet, number)
    if said.holds:
        shown(said.tablet, said.holds, at)
    return JsonResponse({"heard": True})
