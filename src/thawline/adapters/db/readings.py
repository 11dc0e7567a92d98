"""
Readings of loggers beside the ledger: `readings.db`, and each file as it came.

A piece lies under the SHA-256 of its bytes and a file under that of its own, so that keeping
one again changes nothing. Both are on the disk before the entry that vouches for them is
written; what no entry vouches for is never used and harms nobody.
"""

import os
import zlib
from collections.abc import Iterable, Iterator
from hashlib import sha256
from pathlib import Path

import apsw

from thawline.adapters.db import connections
from thawline.adapters.db.lock import held
from thawline.base.errors import BusyError, IndeterminateError, RecordError
from thawline.store.pieces import digest_of, packed, unpacked
from thawline.store.readings import Readings

READINGS = "readings.db"
FILES = "logger-files"
_MARK = 0x54485231  # "THR1"
_FORMAT = 1
_WAIT_S = connections.WAIT_MS / 1000
_OWNER_ONLY = 0o600
_TABLE = f"""
CREATE TABLE piece (
  sha256 TEXT PRIMARY KEY,
  packed BLOB NOT NULL
) STRICT, WITHOUT ROWID;
PRAGMA application_id = {_MARK};
PRAGMA user_version = {_FORMAT};
"""


class DbReadings:
    """
    The readings of one site.

    Args:
        folder: The site's; `readings.db` is made in it when the first file is kept.
        synchronous: FULL but where a test shows that less loses readings.
        vfs: A disk for trying, as SQLite names it.
    """

    def __init__(
        self, folder: Path, *, synchronous: str = "FULL", vfs: str | None = None
    ) -> None:
        self._folder = folder
        self._synchronous = synchronous
        self._vfs = vfs

    def keep(self, found: Readings, file_sha256: str, file: Iterable[bytes]) -> str:
        """
        Keep readings, and the file they came from; return the digest to vouch for them with.

        Args:
            found: Each once, in the order of a piece.
            file_sha256: Of the file as it was read.
            file: Its bytes, in blocks.

        Raises:
            RecordError: The bytes are not those that were read.
            BusyError: Nothing was kept.
            IndeterminateError: It is not known whether all was kept.
        """
        kept = packed(found)
        digest = digest_of(kept)
        with held(self._folder, _WAIT_S):
            try:
                _keep_file(self._folder / FILES, file_sha256, file)
                self._keep_piece(digest, kept)
            except apsw.Error as error:
                raise _failed(error) from error
        return digest

    def get(self, digest: str) -> Readings:
        """
        Return the readings of a piece.

        Raises:
            RecordError: They are not there, or not those that were vouched for.
        """
        try:
            kept = self._packed(digest)
        except (apsw.Error, zlib.error):
            kept = b""
        if kept is None or digest_of(kept) != digest:
            gone = "are not there" if kept is None else "are not those that were recorded"
            raise RecordError(
                f"the readings {digest[:16]} {gone}", advice="restore a backup; thawline doctor"
            )
        return unpacked(kept)

    def faults(self, digest: str, file_sha256: str) -> Iterator[str]:
        """Yield what is wrong with the readings and the file that an entry vouches for."""
        try:
            self.get(digest)
        except RecordError as error:
            yield str(error)
        path = self._folder / FILES / file_sha256
        if not path.is_file():
            yield f"the file {file_sha256[:16]} as it came is not there"
        elif _sha256_of(path) != file_sha256:
            yield f"the file {file_sha256[:16]} is not as it came"

    def _packed(self, digest: str) -> bytes | None:
        path = self._folder / READINGS
        if not path.exists():
            return None
        connection = connections.reader(path, vfs=self._vfs)
        try:
            if _is_empty(connection):
                return None
            asked = "SELECT packed FROM piece WHERE sha256 = ?"
            found = connection.execute(asked, (digest,)).fetchone()
        finally:
            connection.close()
        return None if found is None else zlib.decompress(found[0])

    def _keep_piece(self, digest: str, kept: bytes) -> None:
        path = self._folder / READINGS
        os.close(os.open(path, os.O_WRONLY | os.O_CREAT, _OWNER_ONLY))
        connection = connections.new(path, synchronous=self._synchronous, vfs=self._vfs)
        try:
            with connection:
                if _is_empty(connection):
                    connection.execute(_TABLE)
                connection.execute(
                    "INSERT OR IGNORE INTO piece VALUES (?, ?)", (digest, zlib.compress(kept))
                )
            connection.wal_checkpoint(mode=apsw.SQLITE_CHECKPOINT_PASSIVE)
        finally:
            connection.close()
        _sync(self._folder)


def _is_empty(connection: apsw.Connection) -> bool:
    """
    Say whether nothing was ever kept here, as after a cut while the file was made.

    Raises:
        RecordError: It is another program's file.
    """
    mark = connection.pragma("application_id")
    tables = connection.execute("SELECT count(*) FROM sqlite_schema").get
    if mark != _MARK and (mark or tables):
        raise RecordError(f"{READINGS!r} does not hold readings", advice="thawline doctor")
    return not tables


def _keep_file(folder: Path, named: str, blocks: Iterable[bytes]) -> None:
    """Write a file under its digest and see that it is that file; one that is there stays."""
    path = folder / named
    if path.is_file() and _sha256_of(path) == named:
        return
    folder.mkdir(mode=0o700, exist_ok=True)
    part = path.with_name(f"{named}.part")
    found = sha256()
    handle = os.open(part, os.O_WRONLY | os.O_CREAT | os.O_TRUNC, _OWNER_ONLY)
    with os.fdopen(handle, "wb") as out:
        for block in blocks:
            found.update(block)
            out.write(block)
        out.flush()
        os.fsync(out.fileno())
    if found.hexdigest() != named:
        part.unlink()
        raise RecordError(
            "the file changed while it was read; nothing was recorded",
            advice="read it again, or a copy of it",
        )
    part.replace(path)
    _sync(folder)
    _sync(folder.parent)


def _sha256_of(path: Path) -> str:
    found = sha256()
    with path.open("rb") as file:
        while block := file.read(1 << 20):
            found.update(block)
    return found.hexdigest()


def _sync(folder: Path) -> None:
    handle = os.open(folder, os.O_RDONLY)
    os.fsync(handle)
    os.close(handle)


def _failed(error: apsw.Error) -> BusyError | IndeterminateError:
    if isinstance(error, apsw.FullError):
        return BusyError("the disk is full; no reading was kept", advice="free some space")
    if isinstance(error, apsw.BusyError):
        return BusyError("another program holds the readings; nothing was kept")
    return IndeterminateError(
        f"disk error: {error}; it is not known whether the readings were kept",
        advice="repeat the command",
    )
