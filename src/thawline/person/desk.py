"""
What the desk knows of a person: seen on which days, compared how, and what was consented to.

Both count on the local day only, as the screening does: who comes back in four weeks says
name and birth date again, and is asked again. See docs/background/right-person.md.
"""

from collections.abc import Iterable, Sequence
from datetime import date
from enum import StrEnum
from typing import Any
from zoneinfo import ZoneInfo

from msgspec import Struct
from msgspec.structs import replace

from thawline.base.instants import Instant, from_ms, last_moment, local_date
from thawline.ledger.entries import Entry
from thawline.ledger.events import DoseNotGiven, Event
from thawline.ledger.person_events import (
    ConsentAnswered,
    PersonAmended,
    PersonArrived,
    PersonSent,
)
from thawline.person.last_word import last_word, stricter_word
from thawline.person.likeness import Identity, name_key, phone_key
from thawline.person.names import names_alike

LEAST = 2
"""Identifiers that must agree: common practice in patient care, from memory of its goals."""


class Compared(StrEnum):
    """What came of comparing what a person said with what is kept, the strictest last."""

    AGREES = "agrees"
    TOO_FEW = "too-few"
    DIFFERS = "differs"


class Consent(StrEnum):
    """What was said to the dose of the day, the strictest last."""

    YES = "yes"
    NO = "no"
    WITHDRAWN = "withdrawn"


class Whose(StrEnum):
    """Who said it: the person, or somebody who may speak for them."""

    SELF = "self"
    GUARDIAN = "guardian"
    SURROGATE = "surrogate"


IDENTITY, CONSENT = "identity", "consent"
"""What a site may refuse a dose without."""
NAME, BORN, PHONE = "name", "born", "phone"
_TELLING = (NAME, BORN)
"""What must not differ; a phone number that does is only asked about."""


class Met(Struct, frozen=True):
    """One comparison at the desk, not before `lo_ms` and not after `hi_ms`."""

    lo_ms: int
    hi_ms: int
    agreed: tuple[str, ...]
    differed: tuple[str, ...]
    same_name: tuple[str, ...]
    walk_up: bool


class Said(Struct, frozen=True):
    """One answer about consent, not before `lo_ms` and not after `hi_ms`."""

    lo_ms: int
    hi_ms: int
    answer: str
    whose: str
    edition: str


class Sent(Struct, frozen=True):
    """One slip of paper with which somebody was sent to the clinical lead."""

    at_ms: int
    slip: int
    about: str


class DeskState(Struct, frozen=True):
    """
    What the desk knows of one person; `left_ms`: went without a dose.

    `void` of the comparisons, the first ones, were made before what is kept was put right.
    """

    met: tuple[Met, ...] = ()
    said: tuple[Said, ...] = ()
    left_ms: tuple[int, ...] = ()
    void: int = 0
    sent: tuple[Sent, ...] = ()


class DeskFold:
    """Entries to `DeskState`, keyed by the person's code."""

    name = "desk"
    state_type = DeskState

    @property
    def kinds(self) -> frozenset[type[Event]]:
        """Return the events that can touch one."""
        return frozenset(_ABOUT)

    def keys(self, event: Event) -> tuple[str, ...]:
        """Return the person the event is about; nothing for other events."""
        return (event.person,) if isinstance(event, _ABOUT) else ()

    def step(self, key: str, state: DeskState | None, entry: Entry) -> DeskState:  # noqa: ARG002
        """Return what the desk knows after the entry."""
        before = state or DeskState()
        event: Any = entry.event
        when = entry.lo_ms, entry.hi_ms
        if isinstance(event, PersonArrived):
            met = Met(*when, event.agreed, event.differed, event.same_name, event.walk_up)
            return replace(before, met=(*before.met, met))
        if isinstance(event, ConsentAnswered):
            said = Said(*when, event.answer, event.whose, event.edition)
            return replace(before, said=(*before.said, said))
        if isinstance(event, PersonAmended):
            return replace(before, void=len(before.met))
        if isinstance(event, PersonSent):
            return replace(
                before, sent=(*before.sent, Sent(entry.hi_ms, event.slip, event.about))
            )
        return replace(before, left_ms=(*before.left_ms, entry.hi_ms))


_ABOUT = (PersonArrived, PersonAmended, PersonSent, ConsentAnswered, DoseNotGiven)

DESK = DeskFold()
"""The one fold of the desk; it keeps nothing between calls."""


def agreement(said: Identity, kept: Identity) -> tuple[tuple[str, ...], tuple[str, ...]]:
    """
    Return which identifiers agree and which differ; one not said or not kept is neither.

    A name that may be the same, spelled otherwise, agrees; the desk is asked to look at both.
    """
    pairs = {
        NAME: (name_key(said.name), name_key(kept.name)),
        BORN: (said.born, kept.born),
        PHONE: (phone_key(said.phone), phone_key(kept.phone)),
    }
    both = {name: one == other for name, (one, other) in pairs.items() if one and other}
    if NAME in both:
        both[NAME] = names_alike(said.name, kept.name) is not None
    agreed = tuple(name for name, equal in both.items() if equal)
    return agreed, tuple(name for name, equal in both.items() if not equal)


def standing(agreed: Sequence[str], differed: Sequence[str]) -> Compared:
    """Return what that comes to: a name or birth date that differs weighs more than all."""
    if any(each in _TELLING for each in differed):
        return Compared.DIFFERS
    return Compared.AGREES if len(agreed) >= LEAST else Compared.TOO_FEW


def last_met(state: DeskState | None, at: Instant, zone: ZoneInfo) -> Met | None:
    """
    Return the last comparison of the local day that was made by then; None without one.

    One before the kept identity was put right does not count: it was held against another.
    """
    if state is None:
        return None
    return last_word(state.met[state.void :], at, zone, _doubt)


def last_consent(state: DeskState | None, at: Instant, zone: ZoneInfo) -> Said | None:
    """Return the last word on consent of the local day that was said by then; None without."""
    return None if state is None else last_word(state.said, at, zone, _refusal)


def sent_on(state: DeskState | None, day: date, zone: ZoneInfo) -> Sent | None:
    """Return the last slip of a local day; None without one."""
    if state is None:
        return None
    found = [sent for sent in state.sent if _on(sent.at_ms, zone) == day]
    return found[-1] if found else None


def stricter_met(state: DeskState | None, typed: Met, zone: ZoneInfo) -> Met | None:
    """Return the comparison of that day that counts in spite of a better one typed in now."""
    met = () if state is None else state.met[state.void :]
    return stricter_word(met, typed, zone, _doubt)


def stricter_consent(state: DeskState | None, typed: Said, zone: ZoneInfo) -> Said | None:
    """Return the no of that day that counts in spite of what is typed in now."""
    return stricter_word(() if state is None else state.said, typed, zone, _refusal)


def _doubt(met: Met) -> int:
    """Return how far a comparison is from agreeing."""
    return list(Compared).index(standing(met.agreed, met.differed))


def _refusal(said: Said) -> int:
    """Return how far an answer is from a yes."""
    return list(Consent).index(Consent(said.answer))


def was_seen_on(
    state: DeskState | None, day: date, zone: ZoneInfo, asked_ms: Iterable[int] = ()
) -> bool:
    """
    Say whether the record shows that this very person came on a local day.

    A comparison that agrees shows it, whatever else was said that day. Having been asked at
    `asked_ms`, or sent away without a dose, shows it unless the last comparison differs: it
    was somebody else then. A comparison by too few identifiers shows nothing by itself.
    """
    known = state or DeskState()
    if any(_shows_who_came(met) for met in known.met if _on(met.hi_ms, zone) == day):
        return True
    last = last_met(known, last_moment(day, zone), zone)
    if last is not None and standing(last.agreed, last.differed) is Compared.DIFFERS:
        return False
    return any(_on(at_ms, zone) == day for at_ms in (*asked_ms, *known.left_ms))


def _shows_who_came(met: Met) -> bool:
    """Say whether it was that person; who walks in is whoever they said they are."""
    compared = standing(met.agreed, met.differed)
    return compared is Compared.AGREES or (met.walk_up and compared is Compared.TOO_FEW)


def _on(at_ms: int, zone: ZoneInfo) -> date:
    return local_date(from_ms(at_ms), zone)
