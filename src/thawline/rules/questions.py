"""
Screening questions as data: what is asked, whom, and what each answer leads to.

A protocol carries its questions as [[screening]]; a rule set is a file with nothing else but
its heading and its [sources]. Decision 0100 says which cell leads to what, and why.
"""

import re
from collections.abc import Mapping
from enum import StrEnum

from thawline.base.durations import Allowance
from thawline.rules.table import Table
from thawline.rules.wordings import Reviews, Words, spoken_in


class Outcome(StrEnum):
    """What an answer leads to, the strictest first; the strictest of all answers counts."""

    CONTRAINDICATED = "contraindicated"
    REFER = "refer"
    NOT_GIVEN = "not-given"
    NOT_TODAY = "not-today"
    GIVE_30 = "give-30"
    GIVE_15 = "give-15"

    @property
    def gives(self) -> bool:
        """Say whether the dose is given."""
        return self.value.startswith(GIVE)

    @property
    def bare(self) -> str:
        """Return the outcome without the minutes to stay: give for give-15 and give-30."""
        return GIVE if self.gives else self.value

    @property
    def observe_min(self) -> int | None:
        """Return the minutes to stay after the dose; None where none is given."""
        return int(self.value.partition("-")[2]) if self.gives else None


GIVE = "give"


class Known(StrEnum):
    """What is known already, so that a question needs no asking."""

    BIRTH_DATE = "birth-date"
    DOSES_HAD = "doses-had"
    OTHER_ANSWERS = "other-answers"  # nobody is asked; it is answered only by saying so


class AskIf(Table, frozen=True, kw_only=True):
    """Whom a question is for; what is absent does not matter."""

    dose: int | None = None
    age_from: int | None = None
    age_below: int | None = None


class Question(Table, frozen=True, kw_only=True):
    """
    [[screening]]: one question. No answer at all never leads to giving a dose.

    Texts may name the question's own lengths and ages, as in {wait} or {ask_if.age_below}.
    """

    item: str
    ask: Words
    yes: Outcome
    not_sure: Outcome
    says: Words
    source: str
    wait: Allowance | None = None  # from the date given as the answer
    within: Allowance | None = None  # how soon after a dose a reaction is meant
    lasts: Allowance | None = None  # how long what the advice says is done
    advice: Words | None = None
    ask_if: AskIf | None = None
    derived_from: Known | None = None
    reviewed: Reviews | None = None


_NAMED = re.compile(r"\{([a-z_.]+)\}")


def told(question: Question, words: Words, language: str = "en") -> str:
    """Return a text of a question with its figures in it; English where nobody translated."""
    text = words.es if language == "es" and words.es else words.en
    return _NAMED.sub(lambda found: _figure(question, found.group(1), language), text)


def is_draft(question: Question, language: str) -> bool:
    """Say whether nobody has reviewed the question in that language."""
    return language == "es" and (question.reviewed is None or question.reviewed.es is None)


def _figure(question: Question, name: str, language: str) -> str:
    value: object = question
    for part in name.split("."):
        value = getattr(value, part, None)
    return spoken_in(value, language) if isinstance(value, Allowance) else str(value)


def by_item(questions: tuple[Question, ...]) -> Mapping[str, Question]:
    """Return the questions by their item codes, in the order of the file."""
    return {question.item: question for question in questions}
