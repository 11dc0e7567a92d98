"""May this person have the dose today, by the answers they gave; and how long do they stay."""

from thawline.screen.answers import Answer, Reply, read_answers
from thawline.screen.asking import Person, is_asked, known_answer, to_ask
from thawline.screen.clearing import cleared
from thawline.screen.decision import Decision, Reason, decided
from thawline.screen.verdict import NOTHING_AGAINST, Verdict, merged

__all__ = [
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
    "read_answers",
    "to_ask",
]
