"""
Whose second dose goes to another site: passed on from here, or taken over from there.

The other site has a record of its own. What was given there is not known here, so whoever was
passed on and whose day is over waits here as before, and is called.
"""

from datetime import date
from typing import Any

from msgspec import Struct
from msgspec.structs import replace

from thawline.base.instants import from_ms, local_date, zone_named
from thawline.ledger.entries import Entry
from thawline.ledger.events import Event
from thawline.ledger.person_events import SecondDosesPassedOn, SecondDosesTakenOver


class Away(Struct, frozen=True):
    """A place at another site, or from one: which, whose code there, and when."""

    site: str
    code: str
    slot_ms: int
    zone: str

    @property
    def day(self) -> date:
        """Return the local day of the place."""
        return local_date(from_ms(self.slot_ms), zone_named(self.zone))


class AwayState(Struct, frozen=True):
    """Where a person was passed on to, and where they came from."""

    passed_on: tuple[Away, ...] = ()
    came_from: tuple[Away, ...] = ()


class AwayFold:
    """Entries to `AwayState`, keyed by the person's code here."""

    name = "away"
    state_type = AwayState

    @property
    def kinds(self) -> frozenset[type[Event]]:
        """Return the events that can touch one."""
        return frozenset({SecondDosesPassedOn, SecondDosesTakenOver})

    def keys(self, event: Event) -> tuple[str, ...]:
        """Return the people the event is about; nothing for other events."""
        moved = isinstance(event, SecondDosesPassedOn | SecondDosesTakenOver)
        return _people(event) if moved else ()

    def step(self, key: str, state: AwayState | None, entry: Entry) -> AwayState:
        """Return where the person goes or came from after the entry."""
        before, event = state or AwayState(), _move(entry)
        nth = event.people.index(key)
        slot_ms = event.slots_ms[nth]
        if isinstance(event, SecondDosesPassedOn):
            gone = Away(event.to_site, key, slot_ms, entry.zone)
            return replace(before, passed_on=(*before.passed_on, gone))
        came = Away(event.from_site, event.were[nth], slot_ms, entry.zone)
        return replace(before, came_from=(*before.came_from, came))


def _people(event: Any) -> tuple[str, ...]:
    people: tuple[str, ...] = event.people
    return people


def _move(entry: Entry) -> Any:
    """Return the event; `keys` lets moves alone through."""
    return entry.event


AWAY = AwayFold()
"""The one fold of people between sites; it keeps nothing between calls."""


def place_elsewhere(state: AwayState | None, on: date) -> Away | None:
    """Return the next place at another site, of that day or later; None without one."""
    passed_on = () if state is None else state.passed_on
    to_come = [away for away in passed_on if away.day >= on]
    return min(to_come, key=lambda away: away.slot_ms, default=None)
