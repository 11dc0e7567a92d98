"""
What the entries add up to, kept beside them and written in the same transaction.

Which entries touched a thing is kept too, so that a correction folds again exactly the things
that it concerns.
"""

import gc
from collections.abc import Iterator
from typing import Any

import apsw

from thawline.adapters.db.book import Book
from thawline.adapters.db.fold_tables import FoldTable, note, shape_of
from thawline.ledger.corrections import Standing, counted
from thawline.ledger.entries import Entry, Fold
from thawline.ledger.events import Corrected
from thawline.ledger.folding import Folded, Folds, fold_all, keys_of, touches
from thawline.ledger.stored import entry_of


def folded(book: Book, folds: Folds) -> dict[str, Folded]:
    """
    Return what all entries add up to.

    The garbage collector waits meanwhile: nothing that is folded is in a ring, and it would
    look at all of it over and over, for a quarter of the time.
    """
    collects = gc.isenabled()
    gc.disable()
    try:
        return fold_all(folds, book.rows(), book.standing())
    finally:
        if collects:
            gc.enable()


class Projections:
    """The states of all folds, through one connection; remembers those it read."""

    def __init__(self, connection: apsw.Connection, book: Book, folds: Folds) -> None:
        self._connection = connection
        self._book = book
        self._folds = folds
        self._tables: dict[str, FoldTable] = {}
        self._states: dict[tuple[str, str], Any] = {}

    def one(self, fold: Fold[Any], key: str) -> Any:
        """Return the state of one thing, None if nothing ever touched it."""
        place = (fold.name, key)
        if place not in self._states:
            self._states[place] = self._table(fold).state(key)
        return self._states[place]

    def all(self, fold: Fold[Any]) -> Iterator[tuple[str, Any]]:
        """Yield every thing of a kind with its state, by key."""
        return self._table(fold).states()

    def touched(self, fold: Fold[Any], key: str) -> list[int]:
        """Return the numbers of the entries that touch a thing, as written or as they count."""
        return self._table(fold).touched(key)

    def are_current(self) -> bool:
        """Say whether every fold has taken in the newest entry."""
        head = self._book.head().seq
        upto = self._upto(head)
        return all(upto.get(fold.name) == head for fold in self._folds)

    def catch_up(self) -> None:
        """Take in what some fold has not seen yet: all of it, for a fold that is new here."""
        head = self._book.head().seq
        upto = self._upto(head)
        self.rebuild([fold for fold in self._folds if fold.name not in upto])
        for fold in self._folds:
            seen = upto.get(fold.name, head)
            for row in self._book.rows(since=seen) if seen < head else ():
                self._take_in(fold, entry_of(row))
        self.settle()

    def rebuild(self, folds: Folds) -> None:
        """Fold everything anew from the entries."""
        if not folds:
            return
        anew = folded(self._book, folds)
        for fold in folds:
            table = self._table(fold)
            table.refill(anew[fold.name])
            note(self._connection, [table], self._book.head().seq)
        self.forget()

    def follow(self, entry: Entry) -> None:
        """Take in the entry that was just written."""
        for fold in self._folds:
            self._take_in(fold, entry)

    def settle(self) -> None:
        """Note that every fold has taken in the newest entry."""
        head = self._book.head().seq
        upto = self._upto(head)
        note(
            self._connection,
            [self._table(fold) for fold in self._folds if upto.get(fold.name) != head],
            head,
        )

    def forget(self) -> None:
        """Read every state again when it is asked for."""
        self._states.clear()

    def _upto(self, head: int) -> dict[str, int]:
        """
        Return the entry that each fold took in last.

        A fold of another shape is left out, and one whose number no entry has: it is damaged.
        """
        found = self._connection.execute("SELECT fold, shape, upto FROM folded")
        types: list[tuple[str, Any]] = [(fold.name, fold.state_type) for fold in self._folds]
        shapes = {name: shape_of(state_type) for name, state_type in types}
        return {
            name: upto
            for name, shape, upto in found
            if shapes.get(name) == shape and isinstance(upto, int) and upto <= head
        }

    def _table(self, fold: Fold[Any]) -> FoldTable:
        table = self._tables.get(fold.name)
        if table is None:
            if all(each.name != fold.name for each in self._folds):
                raise ValueError(f"no fold {fold.name!r} is kept by this ledger")
            table = self._tables[fold.name] = FoldTable(self._connection, fold)
        return table

    def _take_in(self, fold: Fold[Any], entry: Entry) -> None:
        if isinstance(entry.event, Corrected):
            self._recount(fold, self._table(fold), entry.seq)
            return
        for key in keys_of(fold, entry):
            self._table(fold).touch(key, entry.seq, counts=True)
            self._keep(fold, key, fold.step(key, self.one(fold, key), entry))

    def _recount(self, fold: Fold[Any], table: FoldTable, seq: int) -> None:
        """Fold again what those entries touch that count differently since a correction."""
        before, after = self._book.standing(seq - 1), self._book.standing(seq)
        stale: set[str] = set()
        for at in sorted(at for at in {**before, **after} if before.get(at) != after.get(at)):
            written = self._book.entry(at)
            was, now = counted(written, before), counted(written, after)
            stale.update(keys_of(fold, was), keys_of(fold, now))
            for key in touches(fold, written, was):
                table.untouch(key, at)
            for key, counts in touches(fold, written, now).items():
                table.touch(key, at, counts=counts)
        for key in sorted(stale):
            self._keep(fold, key, self._refolded(fold, key, after))

    def _refolded(self, fold: Fold[Any], key: str, corrections: Standing) -> Any:
        state = None
        for seq in self._table(fold).counting(key):
            entry = counted(self._book.entry(seq), corrections)
            if entry is not None:
                state = fold.step(key, state, entry)
        return state

    def _keep(self, fold: Fold[Any], key: str, state: object) -> None:
        self._states[fold.name, key] = state
        self._table(fold).keep(key, state)
