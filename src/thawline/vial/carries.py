"""How entries become the state of something to be carried: whose it is, whether it is done."""

from msgspec import Struct
from msgspec.structs import replace

from thawline.ledger.carry_events import CarryDone, CarryTaken
from thawline.ledger.entries import Entry
from thawline.ledger.events import Event


class CarryState(Struct, frozen=True, omit_defaults=True):
    """Who goes, since when, and when it was handed over; None: not yet."""

    by: str | None = None
    taken_ms: int | None = None
    done_ms: int | None = None
    done_by: str | None = None


class CarryFold:
    """Entries to `CarryState`, by what is to be carried."""

    name = "carry"
    state_type = CarryState

    @property
    def kinds(self) -> frozenset[type[Event]]:
        """Return the events that can touch one."""
        return frozenset({CarryTaken, CarryDone})

    def keys(self, event: Event) -> tuple[str, ...]:
        """Return what the event is about."""
        return (event.carry,) if isinstance(event, CarryTaken | CarryDone) else ()

    def step(self, key: str, state: CarryState | None, entry: Entry) -> CarryState:  # noqa: ARG002
        """Return the state after the entry; whoever took it last goes."""
        carry = state or CarryState()
        if isinstance(entry.event, CarryTaken):
            return replace(carry, by=entry.by, taken_ms=entry.hi_ms)
        return replace(carry, done_ms=entry.hi_ms, done_by=entry.by)


CARRY = CarryFold()
