"""
Ports that ask another one: a part of the questions is answered by whoever inherits from them.

What is not answered there is asked on, so that a new question of a port is added here once.
"""

from abc import ABC, abstractmethod
from collections.abc import Callable, Iterator, Mapping
from typing import TypeVar
from uuid import UUID

from thawline.app.ports import Name, People
from thawline.ledger.entries import Entry, Fold, Head, View
from thawline.person.likeness import Identity

S = TypeVar("S")


class AskedView:
    """A view of the ledger that asks another view."""

    def __init__(self, view: View) -> None:
        self._view = view

    @property
    def head(self) -> Head:
        """Return the newest entry's place."""
        return self._view.head

    def one(self, fold: Fold[S], key: str) -> S | None:
        """Return the state of one thing, None if nothing ever touched it."""
        return self._view.one(fold, key)

    def all(self, fold: Fold[S]) -> Iterator[tuple[str, S]]:
        """Yield every thing of a kind with its state, by key."""
        return self._view.all(fold)

    def entry(self, entry_id: UUID) -> Entry | None:
        """Return the entry of an act's id, as written."""
        return self._view.entry(entry_id)

    def history(self, fold: Fold[S], key: str) -> list[Entry]:
        """Return the entries that touched one thing, as written, oldest first."""
        return self._view.history(fold, key)

    def entries(self, *, since: int = 0, most: int | None = None) -> Iterator[Entry]:
        """Yield entries as written, oldest first, after the sequence number `since`."""
        return self._view.entries(since=since, most=most)

    def counting(self) -> Iterator[Entry]:
        """Yield entries as they count now, oldest first, without those that do not count."""
        return self._view.counting()


class AskedPeople(ABC):
    """People's names, asked of other names."""

    @property
    @abstractmethod
    def _people(self) -> People:
        """Return who is asked."""

    def put(self, person: str, name: Name) -> None:
        """Keep or replace a person's name."""
        self._people.put(person, name)

    def change(self, person: str, changed: Callable[[Name], Name]) -> None:
        """Replace a name that is kept by what is made of it."""
        self._people.change(person, changed)

    def add_all(self, names: Mapping[str, Name]) -> Mapping[str, Name]:
        """Keep names under codes that stand for nobody yet; return those that do."""
        return self._people.add_all(names)

    def get(self, person: str) -> Name | None:
        """Return the name, None when unknown or erased."""
        return self._people.get(person)

    def find(self, text: str, most: int = 20) -> list[tuple[str, Name]]:
        """Return people whose name contains the text."""
        return self._people.find(text, most)

    def may_be(self, said: Identity) -> list[tuple[str, Name]]:
        """Return everybody who may be of that name, by their codes."""
        return self._people.may_be(said)

    def erase(self, person: str) -> bool:
        """Destroy the person's key; say whether there was one."""
        return self._people.erase(person)

    def keep_exposure(self, code: str, card: Mapping[str, str]) -> None:
        """Keep a private exposure card."""
        self._people.keep_exposure(code, card)

    def exposures(self) -> list[dict[str, str]]:
        """Return the private exposure cards."""
        return self._people.exposures()
