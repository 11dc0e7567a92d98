"""Standby list: whom to call now, in the order of the list, and what the call came to."""

import re
from collections.abc import Iterable

from django.http import HttpRequest, HttpResponse

from thawline.app import standby
from thawline.app.acts import Doing, Outcome
from thawline.app.ports import Name, Site
from thawline.base.errors import RecordError
from thawline.ledger.standby_events import StandbyAdded
from thawline.person.standby import Answered, OnTheWay, Waiting
from thawline.web.acts import Form, PageAct
from thawline.web.around import Around, around
from thawline.web.pages import page
from thawline.web.screens import Screen
from thawline.web.seen import name_of, unseen

_COUNT = re.compile(r"\d{1,4}", re.ASCII)
ANSWERS = ((Answered.COMES, "Comes"), (Answered.NO, "No"), (Answered.NO_ANSWER, "No answer"))


class Added(Form, frozen=True):
    """Somebody who would come at short notice; without a code, somebody new."""

    travel_min: int
    person: str = ""
    name: str = ""
    phone: str = ""
    priority: int | None = None


class Called(Form, frozen=True):
    """What a call came to: comes, no or no-answer."""

    person: str
    answer: str


def show(request: HttpRequest) -> HttpResponse:
    """Return whom to call now, and the list."""
    asked = request.GET.get("doses", "")
    doses = int(asked) if _COUNT.fullmatch(asked) else None
    with around(request) as round_:
        found = standby.next_calls(unseen(), round_.at, doses)
        listed = standby.standby_list(round_.site, round_.view, round_.at)
        calls = [(each, name_of(round_, each.waiting.person)) for each in found.calls]
        told = {
            "found": found,
            "first": calls[0] if calls else None,
            "then": calls[1:],
            "waiting": _named(round_, listed.waiting),
            "on_the_way": _named(round_, listed.on_the_way),
            "answers": ANSWERS,
            "doses": asked,
        }
        return page(request, round_, "standby-list", told)


def _named(
    round_: Around, people: Iterable[Waiting | OnTheWay]
) -> list[tuple[Waiting | OnTheWay, Name | None]]:
    return [(each, name_of(round_, each.person)) for each in people]


def _add(site: Site, doing: Doing, form: Added) -> Outcome:
    if form.phone and not form.name:
        raise RecordError("a phone number without a name", advice="type the name too")
    name = Name(form.name, phone=form.phone) if form.name else None
    told = standby.Told(form.travel_min, form.priority, name)
    code = form.person.strip().upper()
    if code:
        return standby.add(site, doing, code, told)
    if name is None:
        raise RecordError("nobody is named", advice="type the code, or the name")
    return standby.add_new(site, doing, told)


def _answer(site: Site, doing: Doing, form: Called) -> Outcome:
    if form.answer not in set(Answered):
        known = ", ".join(Answered)
        raise RecordError(f"not an answer: {form.answer!r}", advice=f"one of {known}")
    return standby.answered(site, doing, form.person, Answered(form.answer))


def _says_added(form: Added, outcome: Outcome) -> str:
    added = outcome.event
    code = added.person if isinstance(added, StandbyAdded) else form.person
    return f"{code} is on the standby list"


ACTS = (
    PageAct(
        "standby-add",
        "standby",
        Added,
        _add,
        _says_added,
    ),
    PageAct(
        "standby-answer",
        "standby",
        Called,
        _answer,
        lambda form, _: f"{form.person} was called: {form.answer.replace('-', ' ')}",
        fact=True,
    ),
)
SCREENS = (Screen("standby-list", "Standby list", "standby", show),)
