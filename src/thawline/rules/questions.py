"""
Screening questions as data: what is asked, whom, and what each answer leads to.

A protocol carries its questions as [[screening]]; a rule set is a file with nothing else but
its [sources].
"""

from enum import StrEnum

from thawline.base.durations import Allowance
from thawline.rules.table import Table
from thawline.rules.wordings import Reviews, Words


class Outcome(StrEnum):
    """What an answer leads to; the strictest of all answers counts."""

    CONTRAINDICATED = "contraindicated"
    REFER = "refer"
    NOT_GIVEN = "not-given"
    NOT_TODAY = "not-today"
    GIVE_30 = "give-30"
    GIVE_15 = "give-15"


class Known(StrEnum):
    """What the site knows already, so that a question needs no asking."""

    BIRTH_DATE = "birth-date"
    DOSES_HAD = "doses-had"


class AskIf(Table, frozen=True, kw_only=True):
    """Whom a question is for; what is absent does not matter."""

    dose: int | None = None
    age_from: int | None = None
    age_below: int | None = None


class Question(Table, frozen=True, kw_only=True):
    """[[screening]]: one question. No answer at all never leads to giving a dose."""

    item: str
    ask: Words
    yes: Outcome
    not_sure: Outcome
    says: Words
    source: str
    wait: Allowance | None = None  # from the date given as the answer
    advice: Words | None = None
    ask_if: AskIf | None = None
    derived_from: Known | None = None
    reviewed: Reviews | None = None
