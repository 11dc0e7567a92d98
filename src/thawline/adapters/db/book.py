"""The entries as they stand in the file, read through one connection."""

from collections.abc import Iterator
from functools import cached_property
from itertools import starmap
from typing import Any
from uuid import UUID

import apsw

from thawline.base.errors import RecordError
from thawline.ledger.chain import NOTHING, Row, is_whole
from thawline.ledger.corrections import Correction, Standing, standing
from thawline.ledger.entries import Entry, Head
from thawline.ledger.events import Corrected
from thawline.ledger.stored import entry_of

_ROW = "SELECT seq, epoch, event_id, header, body, body_sha256, prev, hash FROM event"
_TYPES = (int, int, bytes, bytes, bytes, bytes, bytes, bytes)


class Book:
    """Rows and entries of the ledger, by number, by id and in order."""

    def __init__(self, connection: apsw.Connection) -> None:
        self._connection = connection
        self._looked_at: tuple[Any, ...] = ()

    @cached_property
    def site(self) -> UUID:
        """Return the site whose ledger this is."""
        return UUID(bytes=self._connection.execute("SELECT site_id FROM site").get)

    def head(self) -> Head:
        """Return the newest entry's place."""
        last = self.last()
        return NOTHING if last is None else last.head

    def last(self) -> Row | None:
        """
        Return the newest row, None for an empty ledger.

        Raises:
            RecordError: Its bytes are not those that were hashed.
        """
        found = self._connection.execute(f"{_ROW} ORDER BY seq DESC LIMIT 1").fetchone()
        if found is None:
            return None
        if found == self._looked_at:
            return Row(*found)
        row = _row(found)
        if not is_whole(self.site, row):
            raise RecordError(
                f"the newest entry, {row.seq}, is not as it was written: the ledger is damaged",
                advice="write nothing; thawline journal verify",
            )
        self._looked_at = found
        return row

    def row(self, seq: int) -> Row:
        """Return the row of that number; RecordError if it is missing."""
        found = self._connection.execute(f"{_ROW} WHERE seq = ?", (seq,)).fetchone()
        if found is None:
            raise RecordError(f"entry {seq} is missing", advice="thawline journal verify")
        return _row(found)

    def find(self, entry_id: UUID) -> Row | None:
        """Return the row of an act's id, None if nothing was recorded under it."""
        found = self._connection.execute(
            f"{_ROW} WHERE event_id = ?", (entry_id.bytes,)
        ).fetchone()
        return None if found is None else _row(found)

    def rows(self, since: int = 0, most: int | None = None) -> Iterator[Row]:
        """Yield rows in order, after the number `since`; what they hold is not looked at."""
        asked = (since, -1 if most is None else most)
        found = self._connection.execute(f"{_ROW} WHERE seq > ? ORDER BY seq LIMIT ?", asked)
        return starmap(Row, found)

    def entry(self, seq: int) -> Entry:
        """Return the entry of that number as written."""
        return entry_of(self.row(seq))

    def standing(self, upto: int | None = None) -> Standing:
        """Return which corrections count, with those after the number `upto` left out."""
        asked = "SELECT seq FROM correction WHERE seq <= ifnull(?, seq) ORDER BY seq"
        numbers = [seq for (seq,) in self._connection.execute(asked, (upto,))]
        made = [Correction(seq, _corrected(self.entry(seq))) for seq in numbers]
        return standing(made, self.seq_of)

    def seq_of(self, entry_id: str) -> int | None:
        """Return the number of the entry with that id, None if there is none."""
        try:
            row = self.find(UUID(entry_id))
        except ValueError as error:
            raise RecordError(f"not an id of an entry: {entry_id!r}") from error
        return None if row is None else row.seq


def _row(found: tuple[Any, ...]) -> Row:
    if tuple(map(type, found)) != _TYPES:
        raise RecordError(
            f"entry {found[0]!r} holds what no entry holds: the ledger is damaged",
            advice="write nothing; thawline journal verify",
        )
    return Row(*found)


def _corrected(entry: Entry) -> Corrected:
    if not isinstance(entry.event, Corrected):
        raise RecordError(
            f"entry {entry.seq} is listed as a correction and is none",
            advice="thawline journal verify",
        )
    return entry.event
