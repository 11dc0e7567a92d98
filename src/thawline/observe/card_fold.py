"""How entries become one emergency card: each stamp with its time, and whose card it is."""

from typing import Any

from msgspec import Struct
from msgspec.structs import replace

from thawline.ledger.entries import Entry
from thawline.ledger.events import Event
from thawline.ledger.observation_events import CardNamed, MomentStamped


class Stamp(Struct, frozen=True):
    """One press, between two times in milliseconds; after a dose, the window of the next."""

    what: str
    lo_ms: int
    hi_ms: int
    by: str
    dose_by_ms: tuple[int, int] | None
    entry: str


class CardState(Struct, frozen=True):
    """One emergency: its stamps in the ledger's order; `person` None until somebody said."""

    stamps: tuple[Stamp, ...] = ()
    person: str | None = None


class CardFold:
    """Entries to `CardState`, keyed by the card; a stamp of no card belongs to none."""

    name = "card"
    state_type = CardState

    @property
    def kinds(self) -> frozenset[type[Event]]:
        """Return the events that can touch one."""
        return frozenset({MomentStamped, CardNamed})

    def keys(self, event: Event) -> tuple[str, ...]:
        """Return the card the event is about; nothing for a stamp outside any."""
        if isinstance(event, MomentStamped | CardNamed):
            return (event.card,) if event.card else ()
        return ()

    def step(self, key: str, state: CardState | None, entry: Entry) -> CardState:  # noqa: ARG002
        """Return the card after the entry."""
        before = state or CardState()
        event: Any = entry.event
        if isinstance(event, CardNamed):
            return replace(before, person=event.person)
        stamp = Stamp(
            event.what, entry.lo_ms, entry.hi_ms, entry.by, event.dose_by_ms, str(entry.id)
        )
        person = before.person or event.person
        return replace(before, stamps=(*before.stamps, stamp), person=person)


CARD = CardFold()
"""The one fold of emergency cards; it keeps nothing between calls."""
