"""How entries become notes of reactions and errors, each with whom it was reported to."""

from typing import Any

from msgspec import Struct
from msgspec.structs import replace

from thawline.ledger.entries import Entry
from thawline.ledger.events import Event
from thawline.ledger.reaction_events import ErrorNoted, ReactionNoted, ReportTold


class Told(Struct, frozen=True):
    """Who was told of a note, and when."""

    to: str
    at_ms: int


class Note(Struct, frozen=True, kw_only=True):
    """One note; an error has `given_on`, a reaction has not."""

    person: str
    what: str
    at_ms: int
    by: str
    serious: tuple[str, ...] = ()
    began_ms: int | None = None
    began_by_ms: int | None = None
    dose: str | None = None
    given_on: str | None = None
    repeat: str | None = None
    item: str | None = None
    told: tuple[Told, ...] = ()

    @property
    def is_error(self) -> bool:
        """Say whether it is an error with a dose, and no reaction."""
        return self.given_on is not None


class NoteFold:
    """Entries to `Note`, keyed by the note's own code."""

    name = "note"
    state_type = Note

    @property
    def kinds(self) -> frozenset[type[Event]]:
        """Return the events that can touch one."""
        return frozenset({ReactionNoted, ErrorNoted, ReportTold})

    def keys(self, event: Event) -> tuple[str, ...]:
        """Return the note that the event writes or speaks of."""
        if isinstance(event, ReactionNoted | ErrorNoted | ReportTold):
            return (event.note,)
        return ()

    def step(self, key: str, state: Note | None, entry: Entry) -> Note:  # noqa: ARG002
        """Return the note after the entry."""
        event: Any = entry.event
        if isinstance(event, ReportTold):
            told = Told(event.to, entry.hi_ms)
            note = state or Note(person="?", what="?", at_ms=entry.hi_ms, by=entry.by)
            return replace(note, told=(*note.told, told))
        base = Note(person=event.person, what=event.what, at_ms=entry.hi_ms, by=entry.by)
        told_before = state.told if state else ()
        if isinstance(event, ErrorNoted):
            return replace(
                base,
                given_on=event.given_on,
                repeat=event.repeat,
                item=event.item,
                told=told_before,
            )
        return replace(
            base,
            serious=event.serious,
            began_ms=event.began_ms,
            began_by_ms=event.began_by_ms,
            dose=event.dose,
            told=told_before,
        )


NOTE = NoteFold()
"""The one fold of notes; it keeps nothing between calls."""
