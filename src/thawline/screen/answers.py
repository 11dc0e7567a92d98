"""
Answers as they are given: yes, no, not sure, or a date, which means yes, then.

A date that has not come yet, an item nobody asks and two answers that contradict each other
are said with their values; nothing is guessed from them.
"""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from datetime import date
from difflib import get_close_matches
from enum import StrEnum

from thawline.base.errors import RecordError
from thawline.base.instants import read_date
from thawline.rules.questions import Question


class Reply(StrEnum):
    """What somebody answers."""

    YES = "yes"
    NO = "no"
    NOT_SURE = "not-sure"


@dataclass(frozen=True, slots=True)
class Answer:
    """A reply; `on` is the day it was so, None where nobody said a day."""

    reply: Reply
    on: date | None = None

    @property
    def code(self) -> str:
        """The answer in one word, as it is typed and kept."""
        return self.on.isoformat() if self.on else self.reply.value


NO = Answer(Reply.NO)


def read_answers(
    typed: Iterable[str], questions: Mapping[str, Question], today: date
) -> dict[str, Answer]:
    """
    Return the answers by item, typed as Q5=yes or Q13=2021-01-01.

    Raises:
        RecordError: Not an answer, an item nobody asks, a day to come, or two answers that
            contradict each other.
    """
    answers: dict[str, Answer] = {}
    for text in typed:
        item, _, said = text.partition("=")
        name = item.strip().upper()
        if name not in questions:
            raise _unknown(item, questions)
        answer = read_answer(name, said.strip(), today)
        answers[name] = _together(name, answers.get(name), answer)
    return answers


def read_answer(item: str, said: str, today: date) -> Answer:
    """
    Return one answer.

    Raises:
        RecordError: It is not one, or a day that has not come yet.
    """
    word = said.casefold().replace(" ", "-")
    if word in set(Reply):
        return Answer(Reply(word))
    try:
        on = read_date(said)
    except RecordError as error:
        raise RecordError(
            f"{item}: not an answer: {said!r}",
            advice=f"write {item}=yes, no, not-sure or the day, as in 2021-01-01",
        ) from error
    if on > today:
        raise RecordError(
            f"{item}: {said} has not come yet on {today.isoformat()}",
            advice="look at the year that was typed",
        )
    return Answer(Reply.YES, on)


def _together(item: str, before: Answer | None, after: Answer) -> Answer:
    """Return one answer of two to the same question; a day says more than a bare yes."""
    if before is None or before == after:
        return after
    if before.reply == after.reply == Reply.YES and None in (before.on, after.on):
        return before if before.on else after
    raise RecordError(
        f"{item} has two answers: {before.code} and {after.code}",
        advice="ask again, and give the one that is right",
    )


def _unknown(item: str, questions: Mapping[str, Question]) -> RecordError:
    close = get_close_matches(item.strip().upper(), list(questions), 1)
    known = f"asked here: {', '.join(questions)}"
    advice = f"did you mean {close[0]}? {known}" if close else known
    return RecordError(f"no question {item!r} in these rules", advice=advice)
