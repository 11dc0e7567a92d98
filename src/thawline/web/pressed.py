"""
What happens after a press: a form goes back to its page, a tablet gets its receipt.

The same id asked twice gets the same receipt. A refusal is kept and shown; nothing is lost.
"""

import re
from collections.abc import Sequence
from typing import Annotated, Any
from uuid import UUID

import msgspec
from django.http import HttpRequest, HttpResponse, HttpResponseRedirect
from django.views.decorators.csrf import csrf_protect
from django.views.decorators.http import require_POST
from msgspec import Meta, Struct

from thawline.app.acts import Outcome
from thawline.app.opened_first import opened_first
from thawline.app.ports import Site
from thawline.base.errors import RecordError, RefusedError, ReusedIdError, ThawlineError
from thawline.base.findings import Finding
from thawline.base.instants import local_time, written
from thawline.ledger.events import VialPunctured
from thawline.web.acts import PageAct
from thawline.web.answers import BUSY, RETRY_S, status_of
from thawline.web.denied import DeniedError
from thawline.web.filled import LONGEST
from thawline.web.here import here
from thawline.web.last_said import say, say_against
from thawline.web.onward import back
from thawline.web.press import TEXTS, Sent, press
from thawline.web.refusals import Refusal, answer, body_of
from thawline.web.staff.pressers import presser
from thawline.web.tablets.heard import LONGEST_TABLET, Count, arrived
from thawline.web.touched import Touch
from thawline.web.who import who

_STATUS_OF_NEED = {"person": 401, "time": 422}
_NOT_FIELDS = {*TEXTS, "_id", "_next", "csrfmiddlewaretoken"}

Text = Annotated[str, Meta(max_length=LONGEST)]
Milliseconds = Annotated[int, Meta(gt=-(2**53), lt=2**53)]
"""As exact as the ledger's numbers: RFC 8785, 3.2.2.3."""


class Asked(Struct, frozen=True, forbid_unknown_fields=True):
    """An act as a tablet sends it; times in milliseconds."""

    id: UUID
    form: dict[str, Any] = {}
    station: Text = ""
    why: Text = ""
    pin: Text = ""
    second: Text = ""
    second_pin: Text = ""
    elapsed_ms: Milliseconds | None = None
    clock_ms: Milliseconds | None = None
    typed: Text = ""
    presser: Text = ""
    tablet: Annotated[str, Meta(max_length=LONGEST_TABLET)] = ""
    device_seq: Count | None = None

    def sent(self) -> Sent:
        """Return it as an act is pressed."""
        return Sent(
            id=self.id,
            fields=self.form,
            station=self.station,
            why=self.why,
            pin=self.pin,
            second=self.second,
            second_pin=self.second_pin,
            touch=Touch(self.elapsed_ms, self.clock_ms, self.typed),
        )

    def is_answered(self) -> None:
        """Keep that this entry of the tablet needs no further answer."""
        if self.tablet and self.device_seq:
            arrived(self.tablet, self.device_seq)


class Told(Struct, frozen=True):
    """The receipt of an act."""

    id: UUID
    seq: int
    hash: str
    again: bool
    event: str
    says: str
    findings: list[dict[str, str | None]]


@require_POST
def by_form(request: HttpRequest, act: PageAct) -> HttpResponse:
    """Do what a page's form asks, and go back to the page."""
    site, looks = here(), who(request)
    try:
        outcome, form = press(site, looks, act, _sent(request))
    except RefusedError as error:
        _show(request, error.findings)
        return HttpResponseRedirect(back(request))
    _remember(request, act, form, outcome)
    return HttpResponseRedirect(back(request))


def _remember(request: HttpRequest, act: PageAct, form: Any, outcome: Outcome) -> None:
    """Keep what the next page says of an act."""
    site = here()
    line = {
        "at": written(site.now(), site.zone),
        "says": said_of(site, act, form, outcome),
        "id": str(outcome.receipt.id) if outcome.receipt else "",
        "undone": act.undone,
    }
    say(request, line)
    _show(request, outcome.findings)


def said_of(site: Site, act: PageAct, form: Any, outcome: Outcome) -> str:
    """Return what is said of an act; of a vial opened twice, by whom and when it was first."""
    says, kept = act.says(form, outcome), outcome.receipt
    if kept is None or not isinstance(outcome.event, VialPunctured):
        return says
    with site.ledger.view() as view:
        first = opened_first(view, outcome.event.vial, kept.seq)
    if first is None:
        return says
    clock = local_time(first.occurred.lo, site.zone).isoformat(timespec="minutes")
    return f"{says}; {first.by} recorded at {clock} that it was opened"


def _show(request: HttpRequest, findings: Sequence[Finding]) -> None:
    """Keep what the rules said against an act for the pages of the next minute."""
    say_against(request, written(here().now()), [_row(each) for each in findings])


def _sent(request: HttpRequest) -> Sent:
    told = {name: request.POST.get(key, "") for key, name in TEXTS.items()}
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
        asked = body_of(request, Asked)
    except msgspec.DecodeError as error:
        return answer(Refusal("form", f"this is not an act: {error}", ""), 400)
    try:
        outcome, form = press(here(), presser(request, asked.presser), act, asked.sent())
    except (DeniedError, ThawlineError) as error:
        return _not_recorded(request, asked, error)
    asked.is_answered()
    _remember(request, act, form, outcome)
    return answer(receipt(act, form, outcome), 200)


def _not_recorded(
    request: HttpRequest, asked: Asked, error: DeniedError | ThawlineError
) -> HttpResponse:
    """Return why there is no receipt; a refusal by the rules is an answer for good."""
    if isinstance(error, DeniedError):
        looks = who(request)
        nobody = not looks.name or looks.locked
        status = 401 if nobody else _STATUS_OF_NEED.get(error.needs, 403)
        return answer(Refusal("denied", str(error), "", error.needs), status)
    if isinstance(error, ReusedIdError):
        return answer(clash(here(), asked.id, error), status_of(error))
    if isinstance(error, RefusedError):
        asked.is_answered()
        _show(request, error.findings)
    return _refusal(error)


def clash(site: Site, act_id: UUID, error: ReusedIdError) -> Refusal:
    """Return the answer to a press whose id stands for another act: who recorded what."""
    with site.ledger.view() as view:
        entry = view.entry(act_id)
    if entry is None:
        return Refusal(error.code, error.says, error.advice)
    clock = local_time(entry.occurred.lo, site.zone).isoformat(timespec="minutes")
    what = in_words(type(entry.event).__name__)
    says = f"{entry.by} recorded this at {clock} as: {what}"
    return Refusal(error.code, says, "open that record in the journal, and compare")


def in_words(name: str) -> str:
    """Return an event's name as words: DoseDrawn is "dose drawn"."""
    return re.sub(r"(?<!^)(?=[A-Z])", " ", name).lower()


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
        says=said_of(here(), act, form, outcome),
        findings=[_row(each) for each in outcome.findings],
    )


def _refusal(error: ThawlineError) -> HttpResponse:
    found = [_row(each) for each in error.findings] if isinstance(error, RefusedError) else []
    response = answer(
        Refusal(error.code, error.says, error.advice, findings=found), status_of(error)
    )
    if response.status_code == BUSY:
        response["Retry-After"] = RETRY_S
    return response


def _row(found: Finding) -> dict[str, str | None]:
    return {
        "level": found.level.value,
        "code": found.code,
        "says": found.says,
        "item": found.item,
    }
