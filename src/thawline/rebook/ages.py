"""
Who may have a place by age: no younger, and no older, than the protocol's questions allow.

The age is that of the day of the place. Somebody born on 29 February is a year older on
1 March of a year without that day; see `age_on`. Source of that rule: CDC, CDSi CALCDT-5;
the same in Maryland Code, General Provisions, section 1-303(b), read in a copy.
"""

from collections.abc import Iterable
from datetime import date

from thawline.base.findings import Finding, Level
from thawline.rebook.dates import age_on
from thawline.rules.questions import Known, Outcome, Question, told


def age_findings(born: date, day: date, questions: Iterable[Question]) -> tuple[Finding, ...]:
    """
    Return why somebody born then has no place on a day; empty when nothing is against it.

    An age that is only referred to the clinical lead has a place: it is asked about there.

    Raises:
        RecordError: The birth date has not come yet, or nobody is that old.
    """
    age = age_on(born, day)
    return tuple(
        Finding(
            Level.STOP,
            "not-this-age",
            f"{age} years old on {day.isoformat()}. {told(question, question.says)}",
            question.item,
        )
        for question in questions
        if _is_against(question, age)
    )


def _is_against(question: Question, age: int) -> bool:
    wanted = question.ask_if
    if question.derived_from is not Known.BIRTH_DATE or wanted is None:
        return False
    if question.yes.gives or question.yes is Outcome.REFER:
        return False
    old_enough = wanted.age_from is None or age >= wanted.age_from
    return old_enough and (wanted.age_below is None or age < wanted.age_below)
