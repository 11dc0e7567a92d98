"""The ledger at one moment, as use cases read it."""

from collections.abc import Iterator
from functools import cached_property
from typing import Any
from uuid import UUID

from thawline.adapters.db.book import Book
from thawline.adapters.db.projections import Projections
from thawline.ledger.corrections import Standing, counted, marked
from thawline.ledger.entries import Entry, Fold, Head
from thawline.ledger.stored import entry_of


class DbView:
    """A view on an open transaction; of no use after it."""

    def __init__(self, book: Book, projections: Projections) -> None:
        self._book = book
        self._projections = projections

    @property
    def head(self) -> Head:
        """Return the newest entry's place."""
        return self._book.head()

    def one(self, fold: Fold[Any], key: str) -> Any:
        """Return the state of one thing, None if nothing ever touched it."""
        return self._projections.one(fold, key)

    def all(self, fold: Fold[Any]) -> Iterator[tuple[str, Any]]:
        """Yield every thing of a kind with its state, by key."""
        return self._projections.all(fold)

    def entry(self, entry_id: UUID) -> Entry | None:
        """Return the entry of an act's id, as written."""
        row = self._book.find(entry_id)
        return None if row is None else marked(entry_of(row), self._standing)

    def history(self, fold: Fold[Any], key: str) -> list[Entry]:
        """Return the entries that touched one thing, as written, oldest first."""
        numbers = self._projections.touched(fold, key)
        return [marked(self._book.entry(seq), self._standing) for seq in numbers]

    def entries(self, *, since: int = 0, most: int | None = None) -> Iterator[Entry]:
        """Yield entries as written, oldest first, after the sequence number `since`."""
        for row in self._book.rows(since, most):
            yield marked(entry_of(row), self._standing)

    def counting(self) -> Iterator[Entry]:
        """Yield entries as they count now, oldest first, without those that do not count."""
        for row in self._book.rows(0, None):
            if (entry := counted(entry_of(row), self._standing)) is not None:
                yield entry

    @cached_property
    def _standing(self) -> Standing:
        return self._book.standing()
