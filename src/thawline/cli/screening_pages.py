"""What `thawline screening` shows: JSON keys, and a few lines for the person who asked."""

from typing import Any

from thawline.cli.answers import Answer
from thawline.cli.text import wrapped
from thawline.draw.answer_card import CardLine, answer_card
from thawline.rules.protocol import ProtocolRef
from thawline.rules.questions import GIVE, Known, Question, is_draft, told
from thawline.rules.rule_sets import Questions
from thawline.screen.asking import Person, is_asked
from thawline.screen.decision import Decision

_HEADS = {
    "contraindicated": "Contraindicated: no dose of this vaccine.",
    "refer": "Refer to the clinical lead: no dose from this line.",
    "not-given": "Not given here.",
    "not-today": "Not today.",
}


def decision_values(decision: Decision) -> dict[str, Any]:
    """Return the JSON keys of a decision."""
    outcome = decision.outcome
    return {
        "outcome": None if outcome is None else outcome.bare,
        "observe_min": decision.observe_min,
        "until": None if decision.until is None else decision.until.isoformat(),
        "reasons": [{"item": each.item, "says": each.says()} for each in decision.reasons],
        "advice": decision.advice(),
    }


def unknowns(decision: Decision) -> list[str]:
    """Return what is null because nobody knows: unanswered items, a day with no known end."""
    endless = decision.outcome is not None and decision.outcome.bare == "not-today"
    return [*decision.not_answered, *(["until"] if endless and not decision.until else [])]


def decided_answer(decision: Decision, ref: ProtocolRef) -> Answer:
    """Return what screening answers come to; a question without an answer is a finding."""
    return Answer(
        data=decision_values(decision),
        text=_text(decision),
        not_known=unknowns(decision),
        protocol=ref,
        found=decision.outcome is None,
    )


def _text(decision: Decision) -> str:
    lines = [_head(decision)]
    lines += [wrapped(f"  {r.item}  {r.says()}", indent=6) for r in decision.reasons]
    lines += [wrapped(decision.advice())] if decision.advice() else []
    return "\n".join(lines)


def _head(decision: Decision) -> str:
    outcome = decision.outcome
    if outcome is None:
        missing = ", ".join(decision.not_answered)
        so_far = decision.so_far.outcome
        strict = "" if so_far.gives else f" So far: {so_far.value}."
        return wrapped(f"No outcome yet. Not answered: {missing}.{strict}")
    if outcome.bare == GIVE:
        return f"Give, and stay {outcome.observe_min} min."
    head = _HEADS[outcome.bare]
    return f"{head} Not before {decision.until.isoformat()}." if decision.until else head


def card_answer(asked: Questions, person: Person, *, large: bool) -> Answer:
    """Return the card of a rule set: the questions that a person may have to be asked."""
    shown = [q for q in asked.asked if is_asked(q, person) and not _is_never_put(q)]
    foot = f"{asked.title}; {asked.ref.id} version {asked.ref.version}."
    if any(is_draft(question, "es") for question in shown):
        foot += " Spanish: draft, not reviewed / español: borrador, sin revisar."
    foot += " Counts today only / vale solo hoy."
    lines = [_line(question) for question in shown]
    return Answer(
        data={"questions": [{"item": e.item, "en": e.en, "es": e.es} for e in lines]},
        text=answer_card(lines, foot, large=large),
        protocol=asked.ref,
    )


def _is_never_put(question: Question) -> bool:
    return question.derived_from is Known.OTHER_ANSWERS


def _line(question: Question) -> CardLine:
    spanish = told(question, question.ask, "es") if question.ask.es else None
    wants_day = question.wait is not None
    return CardLine(question.item, told(question, question.ask), spanish, wants_day)
