"""
What a use case needs from outside: the ledger, the protocol files, people's names, the time.

Adapters provide them; `adapters/wiring.py` puts them together. Tests bring small fakes.
"""

from collections.abc import Callable, Iterable, Iterator, Mapping
from contextlib import AbstractContextManager
from dataclasses import dataclass
from typing import TYPE_CHECKING
from typing import Protocol as Port
from uuid import UUID
from zoneinfo import ZoneInfo

from thawline.base.instants import Instant
from thawline.base.roles import Role
from thawline.ledger.entries import Act, Decide, Receipt, View
from thawline.person.likeness import Identity
from thawline.plan.capacity import SecondPlaces
from thawline.rules.protocol import Protocol, ProtocolRef
from thawline.store.calls import Called
from thawline.store.nights import Hours
from thawline.store.units import StorageUnit

if TYPE_CHECKING:  # readings bring NumPy, and most commands ask for none
    from thawline.store.readings import Readings

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
class Amending:
    """New values that wait until the act of that id is on record; never in the ledger."""

    act: str
    values: dict[str, str]  # of name, born, phone


@dataclass(frozen=True, slots=True)
class Name:
    """Who a person is; never in the ledger."""

    called: str
    born: str | None = None  # ISO date
    phone: str = ""
    mail: str = ""
    language: str = ""
    amending: tuple[Amending, ...] = ()


class People(Port):
    """Names and contacts, erasable, apart from the ledger."""

    def put(self, person: str, name: Name) -> None:
        """Keep or replace a person's name; on disk when this returns."""

    def change(self, person: str, changed: Callable[[Name], Name]) -> None:
        """Replace a name that is kept by what is made of it, in one transaction."""

    def add_all(self, names: Mapping[str, Name]) -> Mapping[str, Name]:
        """
        Keep names under codes that stand for nobody yet, in one transaction: all or none.

        Returns those of the codes that stand for somebody already, with who that is; nothing
        was kept then. Of two who add one code at the same moment, one gets it.
        """

    def get(self, person: str) -> Name | None:
        """Return the name, None when unknown or erased."""

    def find(self, text: str, most: int = 20) -> list[tuple[str, Name]]:
        """Return people whose name contains the text (at least three letters)."""

    def may_be(self, said: Identity) -> list[tuple[str, Name]]:
        """
        Return everybody of that name by their codes, however short it is.

        Also who has that birth date, or with none that phone, and a name spelled otherwise;
        see `likeness.may_be`. A name without letters is nobody's.
        """

    def erase(self, person: str) -> bool:
        """Destroy the person's key; say whether there was one."""

    def keep_exposure(self, code: str, card: Mapping[str, str]) -> None:
        """Keep a private exposure card under its act's id; kept again, nothing changes."""

    def exposures(self) -> list[dict[str, str]]:
        """Return the private exposure cards."""


class Pins(Port):
    """Whose entry it was: a second person counts only by their own PIN."""

    def fits(self, name: str, pin: str) -> bool:
        """Say whether the PIN is this person's."""

    def role_of(self, name: str) -> Role | None:
        """Return the role a person was given with their PIN; None for none."""


class ReadingStore(Port):
    """Readings of loggers by the digest that an entry vouches for them with."""

    def keep(self, found: "Readings", file_sha256: str, file: Iterable[bytes]) -> str:
        """
        Keep readings and the file they came from; return their digest. On disk on return.

        Kept again, nothing changes.

        Raises:
            RecordError: The bytes are not those that were read.
            BusyError: Nothing was kept.
            IndeterminateError: It is not known whether all was kept.
        """

    def get(self, digest: str) -> "Readings":
        """Return the readings; RecordError if they are not there, or not as vouched for."""

    def faults(self, digest: str, file_sha256: str) -> Iterator[str]:
        """Yield what is wrong with the readings and the file that an entry vouches for."""


@dataclass(frozen=True, slots=True)
class Site:
    """Everything a use case may touch at one site."""

    name: str
    zone: ZoneInfo
    ledger: Ledger
    rules: Rules
    people: People
    pins: Pins
    readings: ReadingStore
    now: Now
    mint: Mint
    demo: bool = False  # everything at this site is invented
    units: tuple[StorageUnit, ...] = ()  # its storage units, as its settings name them
    calls: tuple[Called, ...] = ()  # whom to call about an alert, in order
    night: Hours | None = None  # when nobody is there; None: nobody said
    refuses_without: frozenset[str] = frozenset()  # identity, consent: a check refuses
    second_places: SecondPlaces | None = None  # for second doses a day; None: nobody said
