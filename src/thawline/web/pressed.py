"""
What happens after a press: a form goes back to its page, a tablet gets its receipt.

The same id asked twice gets the same receipt. A refusal is kept and shown; nothing is lost.
"""

from typing import Any
from uuid import UUID

import msgspec
from django.http import HttpRequest, HttpResponse, HttpResponseRedirect, JsonResponse
from django.views.decorators.csrf import csrf_protect
from django.views.decorators.http import require_POST
from msgspec import Struct

from thawline.app.acts import Outcome
from thawline.base.errors import RecordError, RefusedError, ThawlineError
from thawline.base.findings import Finding
from thawline.base.instants import written
from thawline.web.acts import PageAct
from thawline.web.answers import BUSY, RETRY_S, status_of
from thawline.web.here import here
from thawline.web.onward import back
from thawline.web.press import DeniedError, Sent, press
from thawline.web.who import who

_TEXTS = {
    "_station": "station",
    "_why": "why",
    "_pin": "pin",
    "_second": "second",
    "_second_pin": "second_pin",
}
_NOT_FIELDS = {*_TEXTS, "_id", "_next", "csrfmiddlewaretoken"}


class Asked(Struct, frozen=True, forbid_unknown_fields=True):
    """An act as a tablet sends it; times in milliseconds."""

    id: UUID
    form: dict[str, str | int | bool | None] = {}
    station: str = ""
    why: str = ""
    pin: str = ""
    second: str = ""
    second_pin: str = ""
    elapsed_ms: int | None = None
    clock_ms: int | None = None
    device_seq: int | None = None


class Told(Struct, frozen=True):
    """The receipt of an act."""

    id: UUID
    seq: int
    hash: str
    again: bool
    event: str
    says: str
    findings: list[dict[str, str | None]]


class Refusal(Struct, frozen=True):
    """Why an act was not recorded, and what to do."""

    error: str
    says: str
    advice: str
    needs: str = ""
    findings: list[dict[str, str | None]] = []


@require_POST
def by_form(request: HttpRequest, act: PageAct) -> HttpResponse:
    """Do what a page's form asks, and go back to the page."""
    site, looks = here(), who(request)
    try:
        outcome, form = press(site, looks, act, _sent(request))
    except RefusedError as error:
        request.session["refused"] = [_row(each) for each in error.findings]
        return HttpResponseRedirect(back(request))
    request.session["said"] = {
        "at": written(site.now(), site.zone),
        "says": act.says(form, outcome),
        "id": str(outcome.receipt.id) if outcome.receipt else "",
        "undone": act.undone,
    }
    request.session["refused"] = [_row(each) for each in outcome.findings]
    return HttpResponseRedirect(back(request))


def _sent(request: HttpRequest) -> Sent:
    told = {name: request.POST.get(key, "") for key, name in _TEXTS.items()}
    fields = {key: value for key, value in request.POST.items() if key not in _NOT_FIELDS}
    try:
        minted = UUID(request.POST["_id"]) if request.POST.get("_id") else here().mint()
    except ValueError as error:
        raise RecordError("this page's act has no id", advice="open the page again") from error
    return Sent(
        id=minted,
        fields=fields,
        station=told["station"],
        why=told["why"],
        pin=told["pin"],
        second=told["second"],
        second_pin=told["second_pin"],
    )


@csrf_protect
@require_POST
def by_tablet(request: HttpRequest, act: PageAct) -> HttpResponse:
    """Do what a tablet asks and return its receipt, or why there is none."""
    try:
        asked = msgspec.json.decode(request.body, type=Asked)
        sent = Sent(
            id=asked.id,
            fields=asked.form,
            station=asked.station,
            why=asked.why,
            pin=asked.pin,
            second=asked.second,
            second_pin=asked.second_pin,
            elapsed_ms=asked.elapsed_ms,
            clock_ms=asked.clock_ms,
        )
        outcome, form = press(here(), who(request), act, sent)
    except msgspec.DecodeError as error:
        return _answer(Refusal("form", f"this is not an act: {error}", ""), 400)
    except DeniedError as error:
        looks = who(request)
        status = 401 if not looks.name or looks.locked else 403
        return _answer(Refusal("denied", str(error), "", error.needs), status)
    except ThawlineError as error:
        return _refusal(error)
    return _answer(receipt(act, form, outcome), 200)


def receipt(act: PageAct, form: Any, outcome: Outcome) -> Told:
    """Return what a tablet keeps of an act."""
    kept = outcome.receipt
    if kept is None:
        raise RecordError("nothing was recorded", advice="press again")
    return Told(
        id=kept.id,
        seq=kept.seq,
        hash=kept.hash,
        again=kept.again,
        event=type(outcome.event).__name__,
        says=act.says(form, outcome),
        findings=[_row(each) for each in outcome.findings],
    )


def _refusal(error: ThawlineError) -> HttpResponse:
    found = [_row(each) for each in error.findings] if isinstance(error, RefusedError) else []
    response = _answer(
        Refusal(error.code, error.says, error.advice, findings=found), status_of(error)
    )
    if response.status_code == BUSY:
        response["Retry-After"] = RETRY_S
    return response


def _answer(told: Struct, status: int) -> HttpResponse:
    return JsonResponse(msgspec.to_builtins(told), status=status)


def _row(found: Finding) -> dict[str, str | None]:
    return {
        "level": found.level.value,
        "code": found.code,
        "says": found.says,
        "item": found.item,
    }
