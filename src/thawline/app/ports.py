"""
What a use case needs from outside: the ledger, the protocol files, people's names, the time.

Adapters provide them; `adapters/wiring.py` puts them together. Tests bring small fakes.
"""

from collections.abc import Callable, Mapping
from contextlib import AbstractContextManager
from dataclasses import dataclass
from typing import Protocol as Port
from uuid import UUID
from zoneinfo import ZoneInfo

from thawline.base.instants import Instant
from thawline.base.roles import Role
from thawline.ledger.entries import Act, Decide, Receipt, View
from thawline.rules.protocol import Protocol, ProtocolRef

Now = Callable[[], Instant]
Mint = Callable[[], UUID]


class Ledger(Port):
    """The site's ledger: read at one moment, written one act at a time."""

    def view(self) -> AbstractContextManager[View]:
        """Return a consistent view; it sees nothing written later."""

    def record(self, act: Act, decide: Decide) -> Receipt:
        """
        Decide and write in one transaction; the answer is on disk when this returns.

        Raises:
            RefusedError: As `decide` raised it; the refusal is kept.
            ReusedIdError: The id stands for another act.
            BusyError: Nothing was recorded.
            IndeterminateError: It is not known whether it was recorded.
        """


class Rules(Port):
    """Protocol files by the hash of their bytes."""

    def protocol(self, ref: ProtocolRef) -> Protocol:
        """Return the file of that hash; NotFoundError if its bytes are not kept here."""


@dataclass(frozen=True, slots=True)
class Name:
    """Who a person is; never in the ledger."""

    called: str
    born: str | None = None  # ISO date
    phone: str = ""
    mail: str = ""
    language: str = ""


class People(Port):
    """Names and contacts, erasable, apart from the ledger."""

    def put(self, person: str, name: Name) -> None:
        """Keep or replace a person's name; on disk when this returns."""

    def put_all(self, names: Mapping[str, Name]) -> None:
        """Keep or replace many people's names at once: all of them or, on an error, none."""

    def get(self, person: str) -> Name | None:
        """Return the name, None when unknown or erased."""

    def find(self, text: str, most: int = 20) -> list[tuple[str, Name]]:
        """Return people whose name contains the text (at least three letters)."""

    def erase(self, person: str) -> bool:
        """Destroy the person's key; say whether there was one."""


class Pins(Port):
    """Whose entry it was: a second person counts only by their own PIN."""

    def fits(self, name: str, pin: str) -> bool:
        """Say whether the PIN is this person's."""

    def role_of(self, name: str) -> Role | None:
        """Return the role a person was given with their PIN; None for none."""


@dataclass(frozen=True, slots=True)
class Site:
    """Everything a use case may touch at one site."""

    name: str
    zone: ZoneInfo
    ledger: Ledger
    rules: Rules
    people: People
    pins: Pins
    now: Now
    mint: Mint
    demo: bool = False  # everything at this site is invented
