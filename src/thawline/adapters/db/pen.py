"""
The one connection of a process that writes to a ledger, and when it must not any more.

After a disk error this process writes nothing more, and a mark in the folder makes the next
one write the log anew first. The log is copied back here and nowhere else (decision 0021).
"""

from functools import partial
from pathlib import Path

import apsw

from thawline.adapters.db import connections, schema
from thawline.base.errors import BusyError, IndeterminateError, RecordError, ThawlineError

SUSPECT = "disk-error"
"""A file of this name stands in the site's folder from a disk error to the next start."""
_LONG = 4  # times as long as it is copied back at
_FULL = (
    "the disk is full; nothing was recorded",
    "free some space, then repeat the command; reading still works",
)


class Pen:
    """Opens the writing connection when it is first needed, and watches over it."""

    def __init__(self, folder: Path, synchronous: str, vfs: str | None) -> None:
        self._folder = folder
        self._synchronous = synchronous
        self._vfs = vfs
        self._connection: apsw.Connection | None = None
        self._log_pages = [0]
        self._stopped = False

    def connection(self) -> apsw.Connection:
        """
        Return the connection to write with; the caller holds the writer's lock.

        Raises:
            BusyError: Writing stopped, or the file cannot be opened; nothing was recorded.
        """
        if self._stopped:
            raise BusyError(
                "writing stopped after a disk error; nothing was recorded",
                advice="start thawline again; thawline doctor",
            )
        if self._connection is None:
            try:
                self._connection = self._opened()
            except apsw.Error as error:
                raise BusyError(
                    f"disk error: {error}; nothing was recorded", advice="thawline doctor"
                ) from error
        return self._connection

    def copy_back(self, pages: int) -> None:
        """
        Copy the log back into the file once it has so many pages; all of it is on disk.

        One that grew very long is cut off too: whoever opens it next reads all of it.
        """
        if self._connection is None or self._log_pages[0] < pages:
            return
        is_long = self._log_pages[0] >= _LONG * pages
        mode = apsw.SQLITE_CHECKPOINT_TRUNCATE if is_long else apsw.SQLITE_CHECKPOINT_PASSIVE
        self._connection.set_busy_timeout(0)
        try:
            self._connection.wal_checkpoint(mode=mode)
        except (apsw.FullError, apsw.BusyError):
            return  # no space, or somebody still reads the old pages: after the next act again
        except apsw.Error:
            self._stop()
        finally:
            self._connection.set_busy_timeout(connections.WAIT_MS)

    def failed(self, error: apsw.Error) -> ThawlineError:
        """Return what an error while writing means, after taking back what can be."""
        self.take_back()
        if isinstance(error, apsw.FullError):
            return BusyError(_FULL[0], advice=_FULL[1])
        if isinstance(error, apsw.BusyError):
            return BusyError("another program holds the ledger; nothing was recorded")
        self._stop()
        if isinstance(error, apsw.CorruptError | apsw.NotADBError):
            return unreadable(error)
        return IndeterminateError(
            f"disk error: {error}; it is not known whether it was recorded"
        )

    def take_back(self) -> None:
        """Take back what was not committed; a connection that cannot is not used again."""
        try:
            if self._connection is not None and self._connection.in_transaction:
                self._connection.execute("ROLLBACK")
        except apsw.Error:
            self._stop()

    def close(self) -> None:
        """Give back the file."""
        if self._connection is not None:
            self._connection.close()
            self._connection = None

    def _opened(self) -> apsw.Connection:
        path = self._folder / schema.LEDGER
        opened = connections.writer(path, synchronous=self._synchronous, vfs=self._vfs)
        opened.set_wal_hook(partial(_note_pages, self._log_pages))
        if (self._folder / SUSPECT).exists():
            # What the log seems to hold may be in memory only, after a sync that failed (0021).
            opened.wal_checkpoint(mode=apsw.SQLITE_CHECKPOINT_TRUNCATE)
            (self._folder / SUSPECT).unlink()
        return opened

    def _stop(self) -> None:
        self._stopped = True
        (self._folder / SUSPECT).touch()


def unreadable(error: apsw.Error) -> ThawlineError:
    """Return what is said of a ledger that cannot be read."""
    return RecordError(
        f"the ledger cannot be read: {error}",
        advice="write nothing; thawline doctor, then thawline backup restore",
    )


def _note_pages(noted: list[int], _connection: apsw.Connection, _name: str, pages: int) -> int:
    noted[0] = pages
    return apsw.SQLITE_OK
