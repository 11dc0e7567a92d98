"""May this person have the dose today, by the answers they gave; and how long do they stay."""

from thawline.screen.answers import Answer, Reply, read_answer, read_answers
from thawline.screen.asking import Person, is_asked, known_answer, to_ask
from thawline.screen.clearing import CLEARED, cleared
from thawline.screen.decision import Decision, Reason, decided
from thawline.screen.verdict import NOTHING_AGAINST, Verdict, merged, stricter_of

__all__ = [
    "CLEARED",
    "NOTHING_AGAINST",
    "Answer",
    "Decision",
    "Person",
    "Reason",
    "Reply",
    "Verdict",
    "cleared",
    "decided",
    "is_asked",
    "known_answer",
    "merged",
    "read_answer",
    "read_answers",
    "stricter_of",
    "to_ask",
]
