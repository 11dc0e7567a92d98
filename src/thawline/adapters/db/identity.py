"""
Names and contacts, apart from the ledger and erasable: `identity.db`.

Each person's name is sealed with a key of their own, and that key with the site's identity
key. Erasing destroys the person's key; the ledger goes on with a code that nobody can read.
"""

import os
from collections.abc import Callable, Iterator, Mapping
from contextlib import contextmanager
from dataclasses import asdict
from pathlib import Path
from threading import Lock
from typing import Any
from unicodedata import combining, normalize

import apsw
from cryptography.exceptions import InvalidTag
from cryptography.hazmat.primitives.ciphers.aead import AESGCM
from msgspec.json import decode

from thawline.adapters.db import connections
from thawline.adapters.db.lock import held
from thawline.app.booking_rows import identity_of
from thawline.app.ports import Name
from thawline.base.errors import BusyError, IndeterminateError, RecordError
from thawline.ledger.canonical import canonical, composed
from thawline.person.likeness import Identity, may_be

IDENTITY = "identity.db"
_SHORTEST_SEARCH = 3
_KEY_BITS = 256
_NONCE_BYTES = 12
_MARK = 0x54484931  # "THI1"
_FORMAT = 1
_WAIT_S = connections.WAIT_MS / 1000
_TABLE = """
CREATE TABLE person (
  person TEXT PRIMARY KEY,
  wrapped_key BLOB NOT NULL,
  sealed_name BLOB NOT NULL
) STRICT, WITHOUT ROWID;
"""
_PRIVATE_TABLE = """
CREATE TABLE IF NOT EXISTS exposure (
  id TEXT PRIMARY KEY,
  wrapped_key BLOB NOT NULL,
  sealed BLOB NOT NULL
) STRICT, WITHOUT ROWID;
"""
_ONE = "SELECT wrapped_key, sealed_name FROM person WHERE person = ?"
_IS_THERE = "SELECT 1 FROM sqlite_master WHERE type = 'table' AND name = 'exposure'"


class DbPeople:
    """People's names at one site; safe to share between threads."""

    def __init__(self, folder: Path, wrapping_key: bytes, *, vfs: str | None = None) -> None:
        self._folder = folder
        self._wrapping = AESGCM(wrapping_key)
        self._one_at_a_time = Lock()
        self._connection = connections.writer(folder / IDENTITY, vfs=vfs)
        self._connection.execute("PRAGMA secure_delete = ON").fetchall()
        if self._connection.pragma("application_id") != _MARK:
            raise RecordError(f"{IDENTITY!r} does not hold names", advice="thawline doctor")

    def put(self, person: str, name: Name) -> None:
        """Keep or replace a person's name; on disk when this returns."""
        row = self._row(person, name)
        with self._writing() as connection:
            connection.execute("INSERT OR REPLACE INTO person VALUES (?, ?, ?)", row)

    def change(self, person: str, changed: Callable[[Name], Name]) -> None:
        """Replace a name that is kept by what is made of it, in one transaction."""
        with self._writing() as connection:
            found = connection.execute(_ONE, (person,)).fetchone()
            if found is not None:
                row = self._row(person, changed(self._name(person, *found)))
                connection.execute("INSERT OR REPLACE INTO person VALUES (?, ?, ?)", row)

    def add_all(self, names: Mapping[str, Name]) -> Mapping[str, Name]:
        """
        Keep names under codes that stand for nobody yet: all of them or none.

        Returns those of the codes that stand for somebody already, with who that is. Looked up
        and kept in one transaction, so no other process can take a code in between.
        """
        rows = [self._row(person, name) for person, name in names.items()]
        with self._writing() as connection:
            taken = {
                person: self._name(person, *found)
                for person in names
                if (found := connection.execute(_ONE, (person,)).fetchone())
            }
            if not taken:
                connection.executemany("INSERT INTO person VALUES (?, ?, ?)", rows)
        return taken

    def get(self, person: str) -> Name | None:
        """Return the name, None when unknown or erased."""
        with self._one_at_a_time:
            found = self._connection.execute(_ONE, (person,)).fetchone()
        return None if found is None else self._name(person, *found)

    def find(self, text: str, most: int = 20) -> list[tuple[str, Name]]:
        """
        Return people whose name contains the text; accents and capitals make no difference.

        Raises:
            RecordError: The text has fewer than three letters.
        """
        sought = searchable(text)
        found = []
        for person, name in self._all():
            if sought in plain_letters(name.called):
                found.append((person, name))
            if len(found) == most:
                break
        return found

    def may_be(self, said: Identity) -> list[tuple[str, Name]]:
        """Return everybody of that name, or of one spelled otherwise, by their codes."""
        return [each for each in self._all() if may_be(said, identity_of(each[1]))]

    def erase(self, person: str) -> bool:
        """Destroy the person's key; say whether there was one."""
        with self._writing() as connection:
            connection.execute("DELETE FROM person WHERE person = ?", (person,))
            return connection.changes() > 0

    def keep_exposure(self, code: str, card: Mapping[str, str]) -> None:
        """Keep a private exposure card under its act's id; kept again, nothing changes."""
        own_key = AESGCM.generate_key(_KEY_BITS)
        said = canonical(composed(dict(card)))
        row = (
            code,
            _sealed(self._wrapping, own_key, code),
            _sealed(AESGCM(own_key), said, code),
        )
        with self._writing() as connection:
            connection.execute(_PRIVATE_TABLE)
            connection.execute("INSERT OR IGNORE INTO exposure VALUES (?, ?, ?)", row)

    def exposures(self) -> list[dict[str, str]]:
        """Return the private exposure cards, in the order of their ids."""
        with self._one_at_a_time:
            there = self._connection.execute(_IS_THERE).fetchone()
            asked = "SELECT id, wrapped_key, sealed FROM exposure ORDER BY id"
            found: list[tuple[Any, ...]] = (
                self._connection.execute(asked).fetchall() if there else []
            )
        return [self._exposure(*row) for row in found]

    def _exposure(self, code: str, wrapped_key: bytes, sealed: bytes) -> dict[str, str]:
        try:
            own_key = _opened(self._wrapping, wrapped_key, code)
            return decode(_opened(AESGCM(own_key), sealed, code), type=dict[str, str])
        except InvalidTag as error:
            raise RecordError(
                "an exposure card cannot be read with this site's identity key",
                advice="put back keys/identity.key from the backup that has it",
            ) from error

    def close(self) -> None:
        """Give back the file."""
        with self._one_at_a_time:
            self._connection.close()

    def _all(self) -> Iterator[tuple[str, Name]]:
        asked = "SELECT person, wrapped_key, sealed_name FROM person ORDER BY person"
        with self._one_at_a_time:
            rows: list[tuple[Any, ...]] = self._connection.execute(asked).fetchall()
        return ((row[0], self._name(*row)) for row in rows)

    def _row(self, person: str, name: Name) -> tuple[str, bytes, bytes]:
        own_key = AESGCM.generate_key(_KEY_BITS)
        said = canonical(composed(asdict(name)))
        return (
            person,
            _sealed(self._wrapping, own_key, person),
            _sealed(AESGCM(own_key), said, person),
        )

    def _name(self, person: str, wrapped_key: bytes, sealed_name: bytes) -> Name:
        try:
            own_key = _opened(self._wrapping, wrapped_key, person)
            return decode(_opened(AESGCM(own_key), sealed_name, person), type=Name)
        except InvalidTag as error:
            raise RecordError(
                f"the name of {person} cannot be read with this site's identity key",
                advice="put back keys/identity.key from the backup that has it",
            ) from error

    @contextmanager
    def _writing(self) -> Iterator[apsw.Connection]:
        """Write in one transaction, and leave nothing of what was there before in the log."""
        with self._one_at_a_time, held(self._folder, _WAIT_S):
            connection = self._connection
            try:
                connection.execute("BEGIN IMMEDIATE")
                yield connection
                connection.execute("COMMIT")
                connection.wal_checkpoint(mode=apsw.SQLITE_CHECKPOINT_TRUNCATE)
            except apsw.Error as error:
                raise _failed(error) from error
            finally:
                if connection.in_transaction:
                    connection.execute("ROLLBACK")


def create(folder: Path) -> None:
    """
    Make an empty file of names in a site's folder.

    Raises:
        RecordError: There is one already.
    """
    path = folder / IDENTITY
    if path.exists():
        raise RecordError(f"{IDENTITY!r} is there already; it is never made anew")
    os.close(os.open(path, os.O_WRONLY | os.O_CREAT | os.O_EXCL, 0o600))
    connection = connections.new(path)
    with connection:
        connection.execute(_TABLE)
        connection.execute(f"PRAGMA application_id = {_MARK}")
        connection.execute(f"PRAGMA user_version = {_FORMAT}")
    connection.wal_checkpoint(mode=apsw.SQLITE_CHECKPOINT_TRUNCATE)
    connection.close()


def searchable(text: str) -> str:
    """
    Return the letters to look for.

    Raises:
        RecordError: There are fewer than three.
    """
    sought = plain_letters(text).strip()
    if len(sought) < _SHORTEST_SEARCH:
        raise RecordError(
            f"too short to look for: {text!r}", advice="give at least three letters of the name"
        )
    return sought


def plain_letters(text: str) -> str:
    """Return the text without accents and capitals."""
    return "".join(sign for sign in normalize("NFKD", text) if not combining(sign)).casefold()


def _sealed(key: AESGCM, said: bytes, person: str) -> bytes:
    nonce = os.urandom(_NONCE_BYTES)
    return nonce + key.encrypt(nonce, said, person.encode())


def _opened(key: AESGCM, sealed: bytes, person: str) -> bytes:
    return key.decrypt(sealed[:_NONCE_BYTES], sealed[_NONCE_BYTES:], person.encode())


def _failed(error: apsw.Error) -> BusyError | IndeterminateError:
    if isinstance(error, apsw.FullError):
        return BusyError("the disk is full; the name was not kept", advice="free some space")
    if isinstance(error, apsw.BusyError):
        return BusyError("another program holds the names; nothing was changed")
    return IndeterminateError(
        f"disk error: {error}; it is not known whether the name was kept",
        advice="repeat the command",
    )
