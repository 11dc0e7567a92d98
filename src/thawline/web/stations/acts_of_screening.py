"""What is pressed at the screening: the answers recorded, and a referral cleared."""

from thawline.app import screenings
from thawline.app.acts import Doing, Outcome
from thawline.app.ports import Site
from thawline.web.acts import Form, PageAct


class Answers(Form, frozen=True):
    """The answers of one person, as "Q1=no Q2=not-sure Q13=2026-01-31"."""

    person: str
    answers: str


class Cleared(Form, frozen=True):
    """A referral of today that the clinical lead decided."""

    person: str


def _answer(site: Site, doing: Doing, form: Answers) -> Outcome:
    return screenings.answer(site, doing, form.person, form.answers.split())[0]


def _clear(site: Site, doing: Doing, form: Cleared, pin: str) -> Outcome:
    return screenings.clear(site, doing, form.person, pin)


ACTS = (
    PageAct(
        "answer-screening",
        "screen",
        Answers,
        _answer,
        lambda form, _: f"the answers of {form.person} are recorded",
        fact=True,
    ),
    PageAct(
        "clear-screening",
        "clear-screening",
        Cleared,
        _clear,
        lambda form, _: f"{form.person} cleared by the clinical lead: give, stay 30 min",
        undone=False,
        pinned=True,
    ),
)
