"""The two tables of one fold: the state of each thing, and which entries touched it."""

import re
from collections.abc import Iterable, Iterator
from functools import cache
from hashlib import sha256
from typing import Any

import apsw
from msgspec.json import Decoder, Encoder, schema

import thawline
from thawline.ledger.entries import Fold
from thawline.ledger.folding import Folded

_NAME = re.compile("[a-z][a-z_]*")
_encoder = Encoder(order="deterministic")

_TABLES = """
DROP TABLE IF EXISTS state_@;
DROP TABLE IF EXISTS touch_@;
CREATE TABLE state_@ (key TEXT PRIMARY KEY, state BLOB NOT NULL) STRICT, WITHOUT ROWID;
CREATE TABLE touch_@ (
  key TEXT, seq INTEGER, counts INTEGER NOT NULL, PRIMARY KEY (key, seq)
) STRICT, WITHOUT ROWID;
"""


class FoldTable:
    """What is kept of one fold, through one connection."""

    def __init__(self, connection: apsw.Connection, fold: Fold[Any]) -> None:
        if not _NAME.fullmatch(fold.name):
            raise ValueError(f"a fold's name is small letters and _: {fold.name!r}")
        self._connection = connection
        self.name = fold.name
        state_type: Any = fold.state_type
        self._states = _decoder(state_type)
        self.shape = shape_of(state_type)

    def state(self, key: str) -> Any:
        """Return the state kept for a key, None if there is none."""
        found = self._ask("SELECT state FROM state_@ WHERE key = ?", key).fetchone()
        return None if found is None else self._states.decode(found[0])

    def states(self) -> Iterator[tuple[str, Any]]:
        """Yield every key with its state, in the order of the keys."""
        for key, held in self._ask("SELECT key, state FROM state_@ ORDER BY key"):
            yield key, self._states.decode(held)

    def rows(self) -> Iterator[tuple[str, bytes]]:
        """Yield every key with the bytes of its state."""
        yield from self._ask("SELECT key, state FROM state_@")

    def touches(self) -> Iterator[tuple[str, int, int]]:
        """Yield every key with a number that touched it and whether the entry counts there."""
        yield from self._ask("SELECT key, seq, counts FROM touch_@ ORDER BY key, seq")

    def touched(self, key: str) -> list[int]:
        """Return the numbers of the entries that touch a key, as written or as they count."""
        found = self._ask("SELECT seq FROM touch_@ WHERE key = ? ORDER BY seq", key)
        return [seq for (seq,) in found]

    def counting(self, key: str) -> list[int]:
        """Return the numbers of the entries that count for a key."""
        found = self._ask("SELECT seq FROM touch_@ WHERE key = ? AND counts ORDER BY seq", key)
        return [seq for (seq,) in found]

    def keep(self, key: str, state: object) -> None:
        """Keep the state of a key in place of the last one; None keeps nothing."""
        if state is None:
            self._ask("DELETE FROM state_@ WHERE key = ?", key)
        else:
            self._ask("INSERT OR REPLACE INTO state_@ VALUES (?, ?)", key, state_bytes(state))

    def touch(self, key: str, seq: int, *, counts: bool) -> None:
        """Note that an entry touches a key."""
        self._ask("INSERT INTO touch_@ VALUES (?, ?, ?)", key, seq, counts)

    def untouch(self, key: str, seq: int) -> None:
        """Strike out that an entry touches a key."""
        self._ask("DELETE FROM touch_@ WHERE key = ? AND seq = ?", key, seq)

    def upto(self) -> int | None:
        """Return the entry that was folded last, None if nothing of this shape was."""
        asked = "SELECT upto FROM folded WHERE fold = ? AND shape = ?"
        found = self._connection.execute(asked, (self.name, self.shape)).fetchone()
        return None if found is None else int(found[0])

    def refill(self, folded: Folded) -> None:
        """Make the tables anew from what was folded."""
        self._connection.execute(self._named(_TABLES))
        self._connection.executemany(
            self._named("INSERT INTO state_@ VALUES (?, ?)"),
            ((key, state_bytes(state)) for key, state in folded.states.items()),
        )
        self._connection.executemany(
            self._named("INSERT INTO touch_@ VALUES (?, ?, ?)"),
            (
                (key, abs(seq), seq > 0)
                for key, numbers in folded.touched.items()
                for seq in numbers
            ),
        )

    def _ask(self, sql: str, *values: Any) -> apsw.Cursor:
        return self._connection.execute(self._named(sql), values)

    def _named(self, sql: str) -> str:
        return sql.replace("@", self.name)


def note(connection: apsw.Connection, tables: Iterable[FoldTable], upto: int) -> None:
    """Note of some folds which entry was folded last."""
    rows = [(each.name, each.shape, upto) for each in tables]
    connection.executemany("INSERT OR REPLACE INTO folded VALUES (?, ?, ?)", rows)


def state_bytes(state: object) -> bytes:
    """Return a state as it is kept; equal states have equal bytes."""
    return _encoder.encode(state)


@cache
def _decoder(state_type: Any) -> Decoder[Any]:
    return Decoder(state_type)


@cache
def shape_of(state_type: Any) -> str:
    """Return what states look like in this version; those of another shape are folded anew."""
    described = thawline.__version__.encode() + _encoder.encode(schema(state_type))
    return sha256(described).hexdigest()[:16]
