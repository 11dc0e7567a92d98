"""
What is noted about reactions and errors, in the past tense.

Codes and times only, no free text about a person; a note's own code is the id of its act.
"""

from thawline.ledger.events import Event


class ReactionNoted(Event, frozen=True, kw_only=True):
    """
    Somebody noted a reaction after a dose; `dose` is that dose's act, None: not known.

    It began between `began_ms` and `began_by_ms`; None: nobody knows when.
    """

    note: str
    person: str
    what: str
    serious: tuple[str, ...] = ()
    began_ms: int | None = None
    began_by_ms: int | None = None
    dose: str | None = None


class ErrorNoted(Event, frozen=True, kw_only=True):
    """Somebody noted an error with a dose, harmful or not; the table of the day judged it."""

    note: str
    person: str
    what: str
    given_on: str
    repeat: str | None = None
    item: str | None = None


class ReportTold(Event, frozen=True, kw_only=True):
    """A report of a note was made to somebody outside."""

    note: str
    to: str
