"""Chair: the right dose into the right person, checked before the needle, recorded after it."""

from urllib.parse import quote

from django.http import HttpRequest, HttpResponse, HttpResponseRedirect

from thawline.app.at_chair import AtChair, InHand, at_chair, unanswered_at
from thawline.app.booking_rows import identity_of
from thawline.app.needle_sticks import AT_ONCE, USED
from thawline.base.findings import Level
from thawline.rules.questions import Outcome
from thawline.web.around import around
from thawline.web.pages import page
from thawline.web.screens import Screen
from thawline.web.seen import name_of
from thawline.web.slabs import slab

ARMS = (("left", "Left arm"), ("right", "Right arm"))
NOT_GIVEN = ("changed mind", "feels unwell", "sent to the clinical lead", "other")
_SCREENED = {
    Outcome.CONTRAINDICATED: "contraindicated: no dose",
    Outcome.REFER: "to the clinical lead: no dose here",
    Outcome.NOT_GIVEN: "not given here",
    Outcome.NOT_TODAY: "not today",
    Outcome.GIVE_30: "give, stay 30 min",
    Outcome.GIVE_15: "give, stay 15 min",
}


def show(request: HttpRequest) -> HttpResponse:
    """Return the chair, ready for the next person."""
    with around(request) as round_:
        if request.method == "POST":
            code = request.POST.get("name", "").strip().upper()
            return HttpResponseRedirect(f"/dose/{quote(code, safe='')}")
        told = {"unanswered": unanswered_at(round_.unrecorded, round_.who.station), **_words()}
        return page(request, round_, "chair", told)


def show_one(request: HttpRequest, person: str) -> HttpResponse:
    """Return one person in the chair."""
    with around(request) as round_:
        code, station = person.upper(), round_.who.station
        at = at_chair(round_.site, round_.view, code, station, round_.at)
        name = name_of(round_, code)
        in_hand = at.in_hand
        told = {
            "at": at,
            "name": name,
            "kept": None if name is None else identity_of(name),
            "screened": _screened(at),
            "number": in_hand.now.dose_number if in_hand else at.desk.dose_number,
            **_findings(in_hand),
            "unanswered": unanswered_at(round_.unrecorded, station, beside=code),
            "needles": round_.rules.protocol.needles,
            "technique": round_.rules.protocol.technique.values(),
            **_words(),
        }
        return page(request, round_, "dose", told)


def _words() -> dict[str, object]:
    return {"arms": ARMS, "not_given": NOT_GIVEN, "used": USED}


def _screened(at: AtChair) -> str:
    if at.screening is None:
        return "not screened today"
    return _SCREENED[Outcome(at.screening.outcome)]


def _findings(in_hand: InHand | None) -> dict[str, object]:
    """Return the slabs to read before the arm is pressed, and those to read beside it."""
    found = in_hand.now.findings if in_hand else ()
    return {
        "before": [slab(each) for each in found if each.level is not Level.CHECK],
        "beside": [slab(each) for each in found if each.level is Level.CHECK],
    }


def needle_stick(request: HttpRequest) -> HttpResponse:
    """Return what to do at once after a needle-stick, and the private card's fields."""
    with around(request) as round_:
        told = {"at_once": AT_ONCE, **_words()}
        return page(request, round_, "needle-stick", told)


SCREENS = (
    Screen("chair", "Chair", "give-dose", show, asks=True),
    Screen("dose", "Chair", "give-dose", show_one, takes="person"),
    Screen("needle-stick", "Needle-stick", "waste", needle_stick),
)
