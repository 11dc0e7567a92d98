"""The signed heads that are kept in the ledger's file, and when the next one is due."""

from collections.abc import Callable, Iterator

import apsw

from thawline.adapters.db.book import Book
from thawline.base.instants import from_ms
from thawline.ledger.events import DayClosed
from thawline.ledger.heads import (
    ENTRIES_BETWEEN,
    Statement,
    counted_kinds,
    read_statement,
    signed_message,
    statement,
)
from thawline.ledger.stored import header_of

Signer = Callable[[bytes], bytes]
"""Sign a message with the site's key."""
Checker = Callable[[bytes, bytes], bool]
"""Say whether a message has the site's signature."""


class SignedHeads:
    """The signed heads, through one connection."""

    def __init__(self, connection: apsw.Connection, book: Book) -> None:
        self._connection = connection
        self._book = book

    def all(self) -> Iterator[tuple[int, bytes, bytes]]:
        """Yield the entry's number, the statement and its signature, oldest first."""
        yield from self._connection.execute("SELECT seq, statement, signature FROM head")

    def newest(self) -> Statement | None:
        """Return what was signed last, None if nothing was."""
        asked = "SELECT statement FROM head ORDER BY seq DESC LIMIT 1"
        found = self._connection.execute(asked).fetchone()
        return None if found is None else read_statement(found[0])

    def sign_if_due(self, signer: Signer) -> None:
        """Sign the head if many entries are not signed yet, or a day was closed."""
        newest = self.newest()
        many = self._book.head().seq >= ENTRIES_BETWEEN + (newest.seq if newest else 0)
        if many or self._closes_a_day():
            self.sign(signer)

    def _closes_a_day(self) -> bool:
        last = self._book.last()
        return last is not None and header_of(last).type == DayClosed.__name__

    def sign(self, signer: Signer) -> None:
        """Sign the head unless it is signed already, or the ledger is empty."""
        last, newest = self._book.last(), self.newest()
        signed = newest.seq if newest else 0
        if last is None or last.seq == signed:
            return
        headers = [header_of(row) for row in self._book.rows(since=signed)]
        counts = counted_kinds(newest.counts if newest else {}, (h.kind for h in headers))
        at = from_ms(headers[-1].recorded_ms)
        stated = statement(self._book.site, last.head, at, counts)
        row = (last.seq, stated, signer(signed_message(stated)))
        self._connection.execute("INSERT INTO head VALUES (?, ?, ?)", row)
