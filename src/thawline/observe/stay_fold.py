"""
How entries become a person's stay after a dose: given, fainted, up again, left.

Each press counts by its own time, whenever it was typed; in doubt the person is still down.
"""

from typing import Any

from msgspec import Struct
from msgspec.structs import replace

from thawline.ledger.entries import Entry
from thawline.ledger.events import DoseGiven, Event
from thawline.ledger.observation_events import MomentStamped, PersonLeft

DOWN, UP = "down", "up"


class Seated(Struct, frozen=True):
    """One dose after which the person stays; it was given by `hi_ms` at the latest."""

    hi_ms: int
    screening: str | None
    entry: str


class Faint(Struct, frozen=True):
    """One faint, from the first press; `up_ms` is None while the person may be down."""

    down_ms: int
    card: str = ""
    up_ms: int | None = None


class Left(Struct, frozen=True):
    """The person went; `early` when their time was not over."""

    at_ms: int
    early: bool
    entry: str


class StayState(Struct, frozen=True):
    """What the observation area knows of one person; `ups_ms`: when they were up again."""

    doses: tuple[Seated, ...] = ()
    faints: tuple[Faint, ...] = ()
    left: tuple[Left, ...] = ()
    ups_ms: tuple[int, ...] = ()

    @property
    def here(self) -> tuple[Seated, ...]:
        """The doses since the person last left."""
        gone = max((left.at_ms for left in self.left), default=None)
        return tuple(dose for dose in self.doses if gone is None or dose.hi_ms > gone)


class StayFold:
    """Entries to `StayState`, keyed by the person's code."""

    name = "stay"
    state_type = StayState

    @property
    def kinds(self) -> frozenset[type[Event]]:
        """Return the events that can touch one."""
        return frozenset({MomentStamped, DoseGiven, PersonLeft})

    def keys(self, event: Event) -> tuple[str, ...]:
        """Return the person the event is about; nothing for a stamp that names nobody."""
        if isinstance(event, MomentStamped):
            return (event.person,) if event.person and event.what in (DOWN, UP) else ()
        return (event.person,) if isinstance(event, DoseGiven | PersonLeft) else ()

    def step(self, key: str, state: StayState | None, entry: Entry) -> StayState:  # noqa: ARG002
        """Return the person's stay after the entry."""
        stay = state or StayState()
        event: Any = entry.event
        hi_ms = entry.hi_ms
        if isinstance(event, DoseGiven):
            seated = Seated(hi_ms, event.screening, str(entry.id))
            return replace(stay, doses=(*stay.doses, seated))
        if isinstance(event, PersonLeft):
            left = Left(hi_ms, event.early, str(entry.id))
            return replace(stay, left=(*stay.left, left))
        if event.what == DOWN:
            later = [up_ms for up_ms in stay.ups_ms if up_ms > hi_ms]
            faint = Faint(hi_ms, event.card, min(later, default=None))
            return replace(stay, faints=(*stay.faints, faint))
        return _up(stay, entry.lo_ms)


STAY = StayFold()
"""The one fold of stays; it keeps nothing between calls."""


def _up(stay: StayState, up_ms: int) -> StayState:
    """Return the stay after "up again", which ends the faints that had begun for certain."""
    faints = tuple(
        replace(each, up_ms=up_ms) if each.up_ms is None and each.down_ms <= up_ms else each
        for each in stay.faints
    )
    return replace(stay, faints=faints, ups_ms=(*stay.ups_ms, up_ms))
