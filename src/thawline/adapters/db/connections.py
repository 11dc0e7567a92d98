"""
Connections to a site's SQLite files, all set up in the same way.

Every commit is on the disk before it is answered (`synchronous=FULL`). A reader cannot write,
and nobody copies the log back into the file on closing: that happens under the writer's lock.
"""

from pathlib import Path

import apsw

from thawline.base.errors import BusyError, RecordError

WAIT_MS = 5000
_FIXED = (3, 51, 3)
_FIXED_BACKPORTS = {(3, 44): 6, (3, 50): 7}  # first patch with the mend, by minor version


def writer(path: Path, *, synchronous: str = "FULL", vfs: str | None = None) -> apsw.Connection:
    """
    Return a connection that writes to a file that is already there.

    Raises:
        RecordError: There is no such file, or it is no database.
        BusyError: This SQLite can harm a file that two processes write.
    """
    connection = _opened(path, apsw.SQLITE_OPEN_READWRITE, vfs)
    _say(connection, "journal_mode = WAL", f"synchronous = {synchronous}")
    connection.wal_autocheckpoint(0)  # decision 0021: ours says when it fails
    return connection


def reader(path: Path, *, vfs: str | None = None) -> apsw.Connection:
    """Return a connection that only reads; raises as `writer` does."""
    connection = _opened(path, apsw.SQLITE_OPEN_READWRITE, vfs)
    connection.wal_autocheckpoint(0)
    _say(connection, "query_only = ON")
    return connection


def new(path: Path, *, synchronous: str = "FULL", vfs: str | None = None) -> apsw.Connection:
    """Return a connection that writes to a file that is made now."""
    flags = apsw.SQLITE_OPEN_READWRITE | apsw.SQLITE_OPEN_CREATE
    connection = _opened(path, flags, vfs)
    _say(connection, "journal_mode = WAL", f"synchronous = {synchronous}")
    connection.wal_autocheckpoint(0)
    return connection


def has_log_fault(version: str) -> bool:
    """
    Say whether a version of SQLite can corrupt a file whose log two connections reset at once.

    Source: SQLite release history, 3.51.3 and 3.53.0, "Fix the WAL-reset database corruption
        bug", with the backports 3.44.6 and 3.50.7.
    """
    major, minor, patch = (int(part) for part in version.split(".")[:3])
    mended = _FIXED_BACKPORTS.get((major, minor))
    return (major, minor, patch) < _FIXED and (mended is None or patch < mended)


def _opened(path: Path, flags: int, vfs: str | None) -> apsw.Connection:
    if has_log_fault(apsw.sqlite_lib_version()):
        raise BusyError(
            f"SQLite {apsw.sqlite_lib_version()} can damage a ledger; nothing was opened",
            advice="install thawline with its locked requirements",
        )
    try:
        connection = apsw.Connection(str(path), flags=flags, vfs=vfs)
    except apsw.CantOpenError as error:
        raise RecordError(
            f"cannot open {path.name!r}: {error}", advice="thawline doctor"
        ) from error
    connection.set_busy_timeout(WAIT_MS)
    connection.config(apsw.SQLITE_DBCONFIG_NO_CKPT_ON_CLOSE, 1)
    _say(
        connection,
        "foreign_keys = ON",
        "cell_size_check = ON",
        "trusted_schema = OFF",
        "fullfsync = ON",
        "checkpoint_fullfsync = ON",
    )
    return connection


def _say(connection: apsw.Connection, *pragmas: str) -> None:
    for pragma in pragmas:
        connection.execute(f"PRAGMA {pragma}").fetchall()
