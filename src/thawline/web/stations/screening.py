"""
Screening: one question at a time in two languages, then what the answers come to.

Answers so far travel in the page itself, from press to press: none is kept before all are
given, and none stands in an address. Staff see every reason; the person sees one sentence.
"""

from collections.abc import Mapping
from dataclasses import dataclass
from urllib.parse import quote

from django.http import HttpRequest, HttpResponse, HttpResponseRedirect

from thawline.app.in_force import in_force
from thawline.app.screenings import PUBLIC, REASONS, Interview, answers_of, interview
from thawline.base.instants import from_ms
from thawline.person.fold import PERSON, PersonState, Screening, last_screening
from thawline.rules.questions import Known, Outcome, Question, by_item, is_draft, told
from thawline.screen.answers import Reply, read_answer
from thawline.web.around import Around, around
from thawline.web.pages import page
from thawline.web.screens import Screen
from thawline.web.seen import name_of

GO_ON = {"en": "Go on to the chair.", "es": "Pase a la silla."}
_HEADS = {
    Outcome.CONTRAINDICATED: "Contraindicated: no dose of this vaccine",
    Outcome.REFER: "Refer to the clinical lead: no dose from this line",
    Outcome.NOT_GIVEN: "Not given here",
    Outcome.NOT_TODAY: "Not today",
    Outcome.GIVE_30: "Give, and stay 30 min",
    Outcome.GIVE_15: "Give, and stay 15 min",
}


@dataclass(frozen=True, slots=True)
class Spoken:
    """A question as it is asked, in one language; `draft`: nobody reviewed it."""

    language: str
    text: str
    draft: bool


@dataclass(frozen=True, slots=True)
class Reason:
    """One answer that counts, by its item: the rule in words, and what it leads to."""

    item: str
    says: str
    leads_to: str


def show(request: HttpRequest) -> HttpResponse:
    """Return the field for the next person's code."""
    with around(request) as round_:
        if request.method == "POST":
            code = request.POST.get("name", "").strip().upper()
            return HttpResponseRedirect(f"/questions/{quote(code, safe='')}")
        return page(request, round_, "screening", {})


def ask(request: HttpRequest, person: str) -> HttpResponse:
    """Return the next question, the answers to be recorded, or what they came to today."""
    with around(request) as round_:
        code = person.upper()
        known = interview(round_.site, code, round_.at)
        told_: dict[str, object] = {
            "person": code,
            "name": name_of(round_, code),
            "known": known,
            "again": "again" in request.GET,
        }
        done = _today(round_, code)
        if request.method == "POST":
            told_ |= _next(known, request.POST)
        elif done is not None and not told_["again"]:
            told_ |= _result(round_, done)
        else:
            told_ |= _next(known, {})
        return page(request, round_, "questions", told_)


def _today(round_: Around, code: str) -> Screening | None:
    state = round_.view.one(PERSON, code) or PersonState()
    return last_screening(state, round_.at, round_.zone)


def _next(known: Interview, sent: Mapping[str, str]) -> dict[str, object]:
    """Return the question that is next after what was answered, gone back or dated."""
    answers = _so_far(known, sent)
    left = [question for question in known.to_ask if question.item not in answers]
    kept = " ".join(f"{item}={said}" for item, said in answers.items())
    told_: dict[str, object] = {"answers": kept, "answered": len(answers)}
    dated = sent.get("item", "") if sent.get("dated") else ""
    if dated and dated in by_item(known.to_ask):
        return told_ | {"dating": dated, **_asked(by_item(known.to_ask)[dated], known)}
    if left:
        return told_ | {"asking": left[0].item, **_asked(left[0], known)}
    return told_ | {"all": True, "not_no": _not_no(known, answers)}


def _so_far(known: Interview, sent: Mapping[str, str]) -> dict[str, str]:
    """
    Return the answers by item, in the order in which they were given.

    Raises:
        RecordError: One is no answer.
    """
    asked = by_item(known.to_ask)
    pairs = (each.partition("=") for each in sent.get("answers", "").split())
    answers = {item: said for item, _, said in pairs if item in asked}
    if sent.get("back"):
        return dict(list(answers.items())[:-1])
    item, said = sent.get("item", ""), sent.get("reply", "") or sent.get("on", "").strip()
    if item in asked and said and not sent.get("dated"):
        answers[item] = read_answer(item, said, known.today).code
    return answers


def _asked(question: Question, known: Interview) -> dict[str, object]:
    order = ("en", "es") if known.language == "en" else ("es", "en")
    spoken = [_spoken(question, language) for language in order]
    wants_day = question.wait is not None
    return {"spoken": spoken, "item": question.item, "wants_day": wants_day}


def _spoken(question: Question, language: str) -> Spoken:
    if language == "es" and not question.ask.es:
        return Spoken(language, "?", draft=True)
    return Spoken(
        language, told(question, question.ask, language), is_draft(question, language)
    )


def _not_no(known: Interview, answers: Mapping[str, str]) -> list[tuple[str, str, str]]:
    asked = by_item(known.to_ask)
    return [
        (
            item,
            told(asked[item], asked[item].ask),
            said.replace("-", " ") if said in set(Reply) else said,
        )
        for item, said in answers.items()
        if said != Reply.NO
    ]


def _result(round_: Around, done: Screening) -> dict[str, object]:
    outcome = Outcome(done.outcome)
    rules = in_force(round_.site, round_.view, from_ms(done.hi_ms))
    asked = by_item(rules.protocol.screening)
    reasons = [
        Reason(item, told(asked[item], asked[item].says) if item in asked else "", leads_to)
        for item, leads_to in answers_of(done).items()
    ]
    return {
        "done": done,
        "public": GO_ON if outcome.gives else PUBLIC,
        "gives": outcome.gives,
        "refers": outcome is Outcome.REFER,
        "head": _HEADS[outcome],
        "reasons": reasons,
        "why": REASONS,
    }


def card(request: HttpRequest) -> HttpResponse:
    """Return the card to point at, in two languages, to be printed."""
    with around(request) as round_:
        asked = [
            question
            for question in round_.rules.protocol.screening
            if question.derived_from is not Known.OTHER_ANSWERS
        ]
        rows = [(each.item, _spoken(each, "en"), _spoken(each, "es")) for each in asked]
        return page(request, round_, "screening-card", {"rows": rows})


SCREENS = (
    Screen("screening", "Screening", "screen", show, asks=True),
    Screen("questions", "Screening", "screen", ask, takes="person", asks=True),
    Screen("screening-card", "Screening card", "screen", card),
)
