"""
The tables of `ledger.db`, and how a new one is made.

Columns of who and when are read out of the stored header by SQLite itself, so they cannot
disagree with the bytes that were hashed. Two triggers stop every change to an entry.
"""

import os
from collections.abc import Iterator
from pathlib import Path
from uuid import UUID

import apsw

from thawline.adapters.db.connections import new
from thawline.adapters.db.place import refuse_network
from thawline.base.errors import RecordError
from thawline.base.findings import Finding, Level

LEDGER = "ledger.db"
FORMAT = 1
_MARK = (
    0x54484C31  # "THL1": SQLite's application_id, so that no other file is taken for a ledger
)

_TABLES = """
CREATE TABLE site (
  only INTEGER PRIMARY KEY CHECK (only = 1),
  site_id BLOB NOT NULL
) STRICT;
CREATE TABLE event (
  seq INTEGER PRIMARY KEY,
  epoch INTEGER NOT NULL,
  event_id BLOB NOT NULL UNIQUE,
  header BLOB NOT NULL,
  body BLOB NOT NULL,
  body_sha256 BLOB NOT NULL,
  prev BLOB NOT NULL,
  hash BLOB NOT NULL,
  type TEXT AS (header ->> '$.type'),
  kind TEXT AS (header ->> '$.kind'),
  actor TEXT AS (header ->> '$.by'),
  device TEXT AS (header ->> '$.device'),
  station TEXT AS (header ->> '$.station'),
  t_lo_ms INTEGER AS (header ->> '$.lo_ms'),
  t_hi_ms INTEGER AS (header ->> '$.hi_ms'),
  t_srv_ms INTEGER AS (header ->> '$.recorded_ms'),
  tz TEXT AS (header ->> '$.zone')
) STRICT;
CREATE TABLE receipt (
  event_id BLOB PRIMARY KEY,
  seq INTEGER NOT NULL,
  fingerprint BLOB NOT NULL,
  answer BLOB NOT NULL
) STRICT, WITHOUT ROWID;
CREATE TABLE correction (seq INTEGER PRIMARY KEY) STRICT;
CREATE TABLE head (
  seq INTEGER PRIMARY KEY,
  statement BLOB NOT NULL,
  signature BLOB NOT NULL
) STRICT;
CREATE TABLE folded (
  fold TEXT PRIMARY KEY,
  shape TEXT NOT NULL,
  upto INTEGER NOT NULL
) STRICT, WITHOUT ROWID;
CREATE TRIGGER event_stays BEFORE UPDATE ON event
  BEGIN SELECT RAISE(ABORT, 'an entry is never changed'); END;
CREATE TRIGGER event_is_kept BEFORE DELETE ON event
  BEGIN SELECT RAISE(ABORT, 'an entry is never deleted'); END;
"""

_DESCRIBED = """
SELECT name, sql FROM sqlite_schema WHERE NOT (name GLOB 'state_*' OR name GLOB 'touch_*')
"""


def create(
    folder: Path, site: UUID, *, synchronous: str = "FULL", vfs: str | None = None
) -> None:
    """
    Make an empty ledger in a site's folder.

    Raises:
        RecordError: There is one already.
        BusyError: The folder is on a network share.
    """
    refuse_network(folder)
    path = folder / LEDGER
    if path.exists():
        raise RecordError(f"{path.name!r} is there already; a ledger is never made anew")
    connection = new(path, synchronous=synchronous, vfs=vfs)
    with connection:
        connection.execute(_TABLES)
        connection.execute("INSERT INTO site VALUES (1, ?)", (site.bytes,))
        connection.execute(f"PRAGMA application_id = {_MARK}")
        connection.execute(f"PRAGMA user_version = {FORMAT}")
    connection.wal_checkpoint(mode=apsw.SQLITE_CHECKPOINT_TRUNCATE)
    connection.close()
    _sync(folder)


def check_format(connection: apsw.Connection) -> None:
    """
    Look whether the file is a ledger of a format that is known here.

    Raises:
        RecordError: It is not.
    """
    if connection.pragma("application_id") != _MARK:
        raise RecordError(f"{LEDGER!r} is not a ledger", advice="thawline doctor")
    found = connection.pragma("user_version")
    if found != FORMAT:
        raise RecordError(
            f"{LEDGER!r} has format {found}, this thawline knows {FORMAT}",
            advice="install the thawline that wrote it, or a newer one",
        )


def differences(connection: apsw.Connection) -> Iterator[Finding]:
    """Yield a finding for each table, index or trigger that is not as it was made."""
    fresh = apsw.Connection(":memory:")
    fresh.execute(_TABLES)
    made, found = (set(each.execute(_DESCRIBED)) for each in (fresh, connection))
    fresh.close()
    for name, _ in sorted(made ^ found, key=repr):
        yield Finding(Level.STOP, "ledger-schema", f"{name!r} in the ledger was changed")


def _sync(folder: Path) -> None:
    handle = os.open(folder, os.O_RDONLY)
    os.fsync(handle)
    os.close(handle)
