"""
An entry: one event with who, when, where and under which protocol; and how acts become entries.

An act is asked for once, under an id minted where the finger touched. `decide` looks at the
ledger as it stands and returns the event to write, or raises `RefusedError`; both answers
are kept for ever under the act's id, so the same act asked twice gets the same receipt.
"""

from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from enum import StrEnum
from typing import Protocol as Port
from typing import TypeVar
from uuid import UUID

from msgspec import Struct

from thawline.base.findings import Finding
from thawline.base.instants import Instant, Occurred, from_ms
from thawline.ledger.events import Event
from thawline.rules.protocol import ProtocolRef

S = TypeVar("S")
Plain = str | int | bool | None | Sequence["Plain"] | Mapping[str, "Plain"]


class Kind(StrEnum):
    """What sort of entry this is."""

    FACT = "fact"
    COMMAND = "command"
    REFUSAL = "refusal"
    NOTE = "note"
    CORRECTION = "correction"


@dataclass(frozen=True, slots=True)
class Act:
    """What somebody asks for; `command` is what the fingerprint is taken of."""

    id: UUID
    kind: Kind
    by: str
    occurred: Occurred
    recorded_at: Instant
    zone: str
    command: Mapping[str, Plain]
    device: str = ""
    station: str = ""


@dataclass(frozen=True, slots=True)
class Decision:
    """The event to write, the findings to show and keep, and the rules they come from."""

    event: Event
    findings: tuple[Finding, ...] = ()
    protocol: ProtocolRef | None = None


class Entry(Struct, frozen=True, gc=False):
    """
    One event as the ledger holds it; a Struct, as a million of them are made at once.

    It occurred not before `lo_ms` and not after `hi_ms`, whole milliseconds of UTC since 1970.
    """

    seq: int
    epoch: int
    id: UUID
    kind: Kind
    by: str
    device: str
    station: str
    lo_ms: int
    hi_ms: int
    recorded_ms: int
    zone: str
    protocol: ProtocolRef | None
    findings: tuple[Finding, ...]
    event: Event
    hash: bytes
    corrected_by: int | None = None  # seq of the correction that this entry now counts as

    @property
    def occurred(self) -> Occurred:
        """Return when it happened; RecordError if it ended before it began."""
        lo = from_ms(self.lo_ms)
        return Occurred(lo, lo if self.hi_ms == self.lo_ms else from_ms(self.hi_ms))

    @property
    def recorded_at(self) -> Instant:
        """Return when it was written down, by the machine's clock."""
        return from_ms(self.recorded_ms)


@dataclass(frozen=True, slots=True)
class Receipt:
    """The ledger's answer to an act, the same each time it is asked with that id."""

    id: UUID
    seq: int
    epoch: int
    hash: str
    findings: tuple[Finding, ...] = ()
    event: Event | None = field(default=None, compare=False)
    again: bool = field(default=False, compare=False)


@dataclass(frozen=True, slots=True)
class Head:
    """The newest entry; `seq` 0 and a hash of zeros for an empty ledger."""

    epoch: int
    seq: int
    hash: bytes


class Fold(Port[S]):
    """
    How entries become the state of one kind of thing: a vial, a person, an account.

    Pure. `kinds` are the events that can touch a thing at all, and no other is shown to it;
    `keys` says which things an event touches; `step` returns the thing's next state from its
    last (None: not seen before). States are frozen msgspec Structs. An entry that was
    corrected reaches `step` with its replacement, at its own place in the sequence.
    """

    name: str
    state_type: type[S]

    @property
    def kinds(self) -> frozenset[type[Event]]:
        """Return the kinds of event that can touch a thing of this kind."""

    def keys(self, event: Event) -> tuple[str, ...]:
        """Return the keys of the things this event touches, without doubles."""

    def step(self, key: str, state: S | None, entry: Entry) -> S:
        """Return the state of `key` after the entry."""


class View(Port):
    """The ledger at one moment, read consistently."""

    @property
    def head(self) -> Head:
        """Return the newest entry's place."""

    def one(self, fold: Fold[S], key: str) -> S | None:
        """Return the state of one thing, None if nothing ever touched it."""

    def all(self, fold: Fold[S]) -> Iterator[tuple[str, S]]:
        """Yield every thing of a kind with its state, by key."""

    def entry(self, entry_id: UUID) -> Entry | None:
        """Return the entry of an act's id, as written."""

    def history(self, fold: Fold[S], key: str) -> list[Entry]:
        """Return the entries that touched one thing, as written, oldest first."""

    def entries(self, *, since: int = 0, most: int | None = None) -> Iterator[Entry]:
        """Yield entries as written, oldest first, after the sequence number `since`."""

    def counting(self) -> Iterator[Entry]:
        """Yield entries as they count now, oldest first, without those that do not count."""


Decide = Callable[[View], Decision]
