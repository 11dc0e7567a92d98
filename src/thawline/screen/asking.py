"""
Whom a question is for, and what is known without asking.

What is not known about a person never saves a question: somebody of unknown age is asked what
is asked of any age.
"""

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date, timedelta

from thawline.base.errors import RecordError
from thawline.rules.questions import Known, Question
from thawline.screen.answers import NO, Answer, Reply


@dataclass(frozen=True, slots=True)
class Person:
    """What is known of somebody before the first question; None where it is not."""

    dose: int | None = None
    age: int | None = None
    first_dose: date | None = None


ANYBODY = Person()


def is_asked(question: Question, person: Person) -> bool:
    """Say whether a question is for this person, as far as is known."""
    wanted = question.ask_if
    if wanted is None:
        return True
    if None not in (wanted.dose, person.dose) and wanted.dose != person.dose:
        return False
    if person.age is None:
        return True
    old_enough = wanted.age_from is None or person.age >= wanted.age_from
    return old_enough and (wanted.age_below is None or person.age < wanted.age_below)


def known_answer(question: Question, person: Person, today: date) -> Answer | None:
    """Return the answer that needs no asking; None where the person must be asked."""
    if not is_asked(question, person):
        return NO
    if question.derived_from is Known.BIRTH_DATE and person.age is not None:
        return Answer(Reply.YES)
    if question.derived_from is Known.DOSES_HAD and person.first_dose is not None:
        return _since_first_dose(question, person.first_dose, today)
    return NO if question.derived_from is Known.OTHER_ANSWERS else None


def _since_first_dose(question: Question, first_dose: date, today: date) -> Answer:
    if question.wait and first_dose + timedelta(question.wait.days) <= today:
        return NO
    return Answer(Reply.YES, first_dose)


def to_ask(questions: Iterable[Question], person: Person, today: date) -> tuple[Question, ...]:
    """Return the questions that this person must be asked, in the order of the file."""
    return tuple(q for q in questions if known_answer(q, person, today) is None)


def counting_answer(
    question: Question, given: Answer | None, person: Person, today: date
) -> Answer | None:
    """
    Return the answer that counts: what was said, else what is known; None for neither.

    A worrying answer to a question that is not for this person counts all the same.

    Raises:
        RecordError: What was said contradicts the birth date or the doses on record.
    """
    if given is not None and question.derived_from not in _ON_RECORD:
        return given
    known = known_answer(question, person, today)
    if known is None or given is None:
        return given or known
    if given.reply is Reply.NOT_SURE:
        return known
    if given.reply is not known.reply and not _has_passed(question, given, today):
        raise RecordError(
            f"{question.item}={given.code}, and what is known of the person says {known.code}",
            advice="look at the birth date and the card; correct the one that is wrong",
        )
    return known if given.on is None else given


_ON_RECORD = frozenset({Known.BIRTH_DATE, Known.DOSES_HAD})


def _has_passed(question: Question, given: Answer, today: date) -> bool:
    """Say whether the day given as the answer is so long ago that it amounts to a no."""
    return (
        bool(given.on and question.wait)
        and _since_first_dose(question, given.on or today, today) == NO
    )
