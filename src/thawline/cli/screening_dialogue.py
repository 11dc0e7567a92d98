"""
The screening questions at a terminal: one at a time, in both languages, with a way back.

Only used when somebody sits at the keyboard; everything can be given by options instead.
"""

import sys
from collections.abc import Callable, Sequence
from dataclasses import dataclass, field
from datetime import date

from thawline.base.errors import RecordError, UnsaidError
from thawline.rules.questions import Question, is_draft, told
from thawline.screen.answers import Reply, read_answer

Read = Callable[[], str]
Say = Callable[[str], None]

_WORDS = {
    **dict.fromkeys(("1", "y", "yes", "s", "si", "sí"), Reply.YES),
    **dict.fromkeys(("2", "n", "no"), Reply.NO),
    **dict.fromkeys(("3", "?", "not sure", "not-sure", "no se", "no sé"), Reply.NOT_SURE),
}
_BACK = frozenset({"0", "b", "back", "atrás", "atras"})
_START = {
    "en": "Ask as written. Wait for the answer. 0 goes back one question.",
    "es": "Pregunte como está escrito. Espere la respuesta. 0 vuelve a la anterior.",
}
_CHOICE = {
    "en": "1 Yes   2 No   3 Not sure   0 Back > ",
    "es": "1 Sí   2 No   3 No sé   0 Atrás > ",
}
_AGAIN = {"en": "Write 1, 2, 3 or 0.", "es": "Escriba 1, 2, 3 o 0."}
_WHEN = {
    "en": "On which day? As 2021-01-31; empty if nobody knows > ",
    "es": "¿Qué día? Como 2021-01-31; vacío si no se sabe > ",
}
_DRAFT = "[borrador / draft]"


def at_keyboard() -> bool:
    """Say whether somebody sits at a terminal and can be asked."""
    return sys.stdin.isatty()


def say(text: str) -> None:
    """Write to the terminal without ending the line; the result is not written here."""
    print(text, end="", file=sys.stderr, flush=True)  # noqa: T201


@dataclass
class Dialogue:
    """One person's questions in turn; `language` is asked first, the other stands below."""

    language: str
    today: date
    read: Read = input
    say: Say = say
    answers: dict[str, str] = field(default_factory=dict)

    def ask(self, questions: Sequence[Question]) -> list[str]:
        """
        Return the answers as they would be typed, Q5=yes.

        Raises:
            UnsaidError: The keyboard went away before the last question.
        """
        place = 0
        self.say(f"{_START[self.language]}\n")
        while place < len(questions):
            self._show(questions[place], place + 1, len(questions))
            if self._answer(questions[place]):
                place += 1
            else:
                place = max(place - 1, 0)
        return [f"{item}={said}" for item, said in self.answers.items()]

    def _show(self, question: Question, number: int, of: int) -> None:
        first, second = ("en", "es") if self.language == "en" else ("es", "en")
        lines = [_line_in(question, first), _line_in(question, second)]
        asked = "\n".join(line for line in lines if line)
        self.say(f"\n{number}/{of}  {question.item}\n{asked}\n")

    def _answer(self, question: Question) -> bool:
        """Take one answer; return whether to go on, or else back."""
        while True:
            word = self._line(_CHOICE[self.language]).casefold()
            if word in _BACK:
                return False
            if word in _WORDS:
                reply = _WORDS[word]
                day = self._day(question) if reply is Reply.YES and question.wait else ""
                self.answers[question.item] = day or reply.value
                return True
            self.say(f"{_AGAIN[self.language]}\n")

    def _day(self, question: Question) -> str:
        """Return the day of a yes that waits; empty when nobody knows it."""
        while True:
            typed = self._line(_WHEN[self.language])
            if not typed:
                return ""
            try:
                return read_answer(question.item, typed, self.today).code
            except RecordError as error:
                self.say(f"{error.says}; {error.advice}\n")

    def _line(self, prompt: str) -> str:
        self.say(prompt)
        try:
            return self.read().strip()
        except EOFError as error:
            raise UnsaidError(
                "the questions were not finished; nothing is recorded",
                advice="ask again, or give every --answer",
            ) from error


def _line_in(question: Question, language: str) -> str:
    """Return the question in a language, marked while nobody reviewed it; empty for none."""
    if language == "es" and not question.ask.es:
        return ""
    draft = f"  {_DRAFT}" if is_draft(question, language) else ""
    return told(question, question.ask, language) + draft
