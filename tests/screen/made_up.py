"""A few questions with figures that were never printed, and what is asked about them."""

from datetime import date

from thawline.base.durations import read_allowance
from thawline.rules.questions import AskIf, Known, Outcome, Question
from thawline.rules.wordings import Review, Reviews, Words
from thawline.screen.answers import read_answers
from thawline.screen.decision import decided

TODAY = date(2026, 2, 3)


def question(item: str, yes: str = "refer", not_sure: str = "refer", **more) -> Question:
    """Return a question; lengths as a rule file writes them."""
    lengths = {
        name: read_allowance(more.pop(name))
        for name in ("wait", "within", "lasts")
        if name in more
    }
    return Question(
        item=item,
        ask=more.pop("ask", Words(en=f"{item}?", es=f"¿{item}?")),
        yes=Outcome(yes),
        not_sure=Outcome(not_sure),
        says=more.pop("says", Words(en=f"{item} says so.", es=f"{item} lo dice.")),
        source="tale",
        **lengths,
        **more,
    )


SICK = question("Q1", "not-today", "not-today")
SERUM = question("Q2", "not-today", "not-today", wait="P10D")
OTHER = question("Q3", "not-today", "not-today", wait="P20D")
BOOSTED = question("Q4", "contraindicated", "refer")
YOUNG = question(
    "Q5", "not-given", "refer", ask_if=AskIf(age_below=16), derived_from=Known.BIRTH_DATE
)
SOON = question(
    "Q6",
    "not-today",
    "refer",
    wait="P21D",
    ask_if=AskIf(dose=2),
    derived_from=Known.DOSES_HAD,
)
FAINT = question(
    "Q7",
    "give-15",
    "give-15",
    lasts="PT3M",
    advice=Words(en="Lie down for {lasts}.", es="Acuéstese {lasts}."),
)
STUNG = question("Q8", "give-30", "refer", within="PT2H")
UNSURE = question("Q9", derived_from=Known.OTHER_ANSWERS)
ASKED = (SICK, SERUM, OTHER, BOOSTED, YOUNG, SOON, FAINT, STUNG, UNSURE)
REVIEWED = Reviews(es=Review(by="Linden Nobody", on=TODAY))


def answers(*typed: str, today: date = TODAY):
    """Return typed answers to these questions."""
    return read_answers(typed, {q.item: q for q in ASKED}, today)


def outcome(*typed: str, others_no: bool = True, **more):
    """Return what typed answers to these questions come to."""
    today = more.pop("today", TODAY)
    return decided(ASKED, answers(*typed, today=today), today, others_no=others_no, **more)
