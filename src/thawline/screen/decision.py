"""
What the answers come to: one outcome, each reason with its item, and what is not answered.

A question without an answer never leads to giving a dose: there is no outcome then.
"""

from collections.abc import Iterable, Mapping
from datetime import date, timedelta

from msgspec import Struct

from thawline.rules.questions import Outcome, Question, told
from thawline.screen.answers import NO, Answer, Reply
from thawline.screen.asking import ANYBODY, Person, counting_answer
from thawline.screen.verdict import NOTHING_AGAINST, Verdict, merged


class Reason(Struct, frozen=True):
    """One answer that counts for something, and what it leads to by itself."""

    question: Question
    answer: Answer
    verdict: Verdict

    @property
    def item(self) -> str:
        """The item code of the question."""
        return self.question.item

    @property
    def is_undated(self) -> bool:
        """Whether there is a wait, and nobody knows from which day."""
        return self.question.wait is not None and self.verdict.until is None

    def says(self, language: str = "en") -> str:
        """Return the sentence of the rule, with what is not known about the answer."""
        text = told(self.question, self.question.says, language)
        if self.verdict.until is not None:
            return f"{text} {_FROM[language].format(self.verdict.until.isoformat())}"
        if self.is_undated:
            return f"{text} {_NO_DAY[language]}"
        return f"{text} {_UNSURE[language]}" if self.answer.reply is Reply.NOT_SURE else text

    def advice(self, language: str = "en") -> str:
        """Return what to do besides; empty where the rule says nothing."""
        words = self.question.advice
        return told(self.question, words, language) if words else ""


_FROM = {"en": "From {}.", "es": "Desde el {}."}
_NO_DAY = {
    "en": "The day is not known: the clinical lead decides.",
    "es": "No se sabe el día: decide la dirección clínica.",
}
_UNSURE = {"en": "The answer was not sure.", "es": "La respuesta fue: no sé."}


class Decision(Struct, frozen=True):
    """
    What screening comes to.

    Args:
        so_far: What the answers given come to, whatever is still to be asked.
        reasons: The answers that count for something, the strictest first.
        not_answered: Items of the questions without an answer; then there is no outcome.
        answers: Every answer that was counted, said or known, by its item.
    """

    so_far: Verdict
    reasons: tuple[Reason, ...]
    not_answered: tuple[str, ...]
    answers: Mapping[str, Answer]

    @property
    def outcome(self) -> Outcome | None:
        """The outcome; None while a question has no answer."""
        return None if self.not_answered else self.so_far.outcome

    @property
    def until(self) -> date | None:
        """The first day after every wait, where the outcome is not today and days are known."""
        return self.so_far.until if self.outcome is Outcome.NOT_TODAY else None

    @property
    def observe_min(self) -> int | None:
        """The minutes to stay after the dose; None where none is given."""
        return None if self.outcome is None else self.outcome.observe_min

    def advice(self, language: str = "en") -> str:
        """Return what to do besides, each sentence once."""
        said = (reason.advice(language) for reason in self.reasons)
        return " ".join(dict.fromkeys(text for text in said if text))


def decided(
    questions: Iterable[Question],
    answers: Mapping[str, Answer],
    today: date,
    person: Person = ANYBODY,
    *,
    others_no: bool = False,
) -> Decision:
    """
    Return what the answers come to on a day.

    Args:
        questions: All of a rule set or protocol.
        answers: By item, as `read_answers` returns them.
        today: The local day of the answers; they expire with it.
        person: What is known besides.
        others_no: Whether questions that are neither answered nor known count as no.

    Raises:
        RecordError: An answer contradicts what is known of the person.
    """
    reasons: list[Reason] = []
    missing: list[str] = []
    counted: dict[str, Answer] = {}
    total = NOTHING_AGAINST
    for question in questions:
        answer = counting_answer(question, answers.get(question.item), person, today)
        if answer is None and not others_no:
            missing.append(question.item)
            continue
        counted[question.item] = answer = answer or NO
        verdict = verdict_of(question, answer, today)
        if verdict is not None:
            reasons.append(Reason(question, answer, verdict))
            total = merged(total, verdict)
    return Decision(total, _strictest_first(reasons), tuple(missing), counted)


def verdict_of(question: Question, answer: Answer, today: date) -> Verdict | None:
    """
    Return what one answer leads to; None where it counts for nothing, as a no does.

    A wait whose first day nobody knows is the clinical lead's to decide. A wait is over on its
    last day plus one: 90 days from 1 January 2021 end on 1 April, and that day is free.
    """
    if answer.reply is Reply.NO:
        return None
    outcome = question.yes if answer.reply is Reply.YES else question.not_sure
    if outcome is not Outcome.NOT_TODAY or question.wait is None:
        return _PLAIN[outcome]
    if answer.on is None:
        return _PLAIN[Outcome.REFER]
    until = answer.on + timedelta(question.wait.days)
    return Verdict(outcome, until) if today < until else None


_PLACE = {outcome: place for place, outcome in enumerate(Outcome)}
_PLAIN = {outcome: Verdict(outcome) for outcome in Outcome}


def _strictest_first(reasons: Iterable[Reason]) -> tuple[Reason, ...]:
    return tuple(sorted(reasons, key=lambda reason: _PLACE[reason.verdict.outcome]))
