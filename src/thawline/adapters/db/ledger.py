"""
The site's ledger on disk: views for reading, one act at a time for writing.

An error while writing is never taken for "not saved": after one the ledger stops writing, and
only asking again with the same id, from a fresh start, tells what happened.
"""

from collections.abc import Iterator, Sequence
from contextlib import contextmanager
from functools import partial
from pathlib import Path
from threading import Lock
from uuid import UUID

import apsw

from thawline.adapters.db import connections, schema
from thawline.adapters.db.book import Book
from thawline.adapters.db.heads import Checker, Signer
from thawline.adapters.db.lock import held
from thawline.adapters.db.projections import Projections
from thawline.adapters.db.turn import Outcome, Turn
from thawline.adapters.db.verify import Verified, verify
from thawline.adapters.db.view import DbView
from thawline.base.errors import BusyError, IndeterminateError, RecordError, ThawlineError
from thawline.base.instants import written
from thawline.ledger.entries import Act, Decide, Receipt
from thawline.ledger.folding import Folds
from thawline.ledger.heads import Statement
from thawline.ledger.receipts import given

SUSPECT = "disk-error"
"""A file of this name stands in the site's folder from a disk error to the next start."""
_WAIT_S = connections.WAIT_MS / 1000
_FULL = (
    "the disk is full; nothing was recorded",
    "free some space, then repeat the command; reading still works",
)


class DbLedger:
    """
    One site's ledger; safe to share between threads.

    Once the log has `pages_before_copy` pages they are copied back into the file.
    """

    pages_before_copy = 1000

    def __init__(
        self,
        folder: Path,
        folds: Folds,
        *,
        signer: Signer | None = None,
        synchronous: str = "FULL",
        vfs: str | None = None,
    ) -> None:
        self._folder = folder
        self._folds = tuple(folds)
        self._signer = signer
        self._synchronous = synchronous
        self._vfs = vfs
        self._one_turn = Lock()
        self._idle: list[apsw.Connection] = []
        self._writer: apsw.Connection | None = None
        self._log_pages = [0]
        self._stopped = False
        with self._reading() as connection:
            schema.check_format(connection)
            self.site_id: UUID = Book(connection).site

    @contextmanager
    def view(self) -> Iterator[DbView]:
        """Return a consistent view; it sees nothing written later."""
        with self._reading() as connection:
            book = Book(connection)
            projections = Projections(connection, book, self._folds)
            if not projections.are_current():
                connection.execute("ROLLBACK")
                with self._turn():
                    pass  # a turn takes in what others wrote
                connection.execute("BEGIN")
            yield DbView(book, projections)

    def record(self, act: Act, decide: Decide) -> Receipt:
        """
        Decide and write in one transaction; the answer is on disk when this returns.

        Raises:
            RefusedError: As `decide` raised it; the refusal is kept.
            ReusedIdError: The id stands for another act.
            BusyError: Nothing was recorded.
            IndeterminateError: It is not known whether it was recorded.
        """
        try:
            with self._turn() as turn:
                answer = turn.settle(act, decide)
        except IndeterminateError as error:
            raise IndeterminateError(error.says, advice=ask_again(act)) from error
        return given(answer)

    def record_all(self, asked: Sequence[tuple[Act, Decide]]) -> list[Outcome]:
        """Write several acts in one transaction; what each would raise stands in its place."""
        with self._turn() as turn:
            return [turn.attempt(act, decide) for act, decide in asked]

    def sign_head(self) -> Statement | None:
        """Sign the head now; return what is signed, None for an empty ledger."""
        with self._turn() as turn:
            return turn.sign_head()

    def verify(self, is_signed: Checker | None) -> Verified:
        """Look at everything; without the site's public key at hand, at no signature."""
        with self._reading() as connection:
            return verify(connection, self._folds, is_signed)

    def close(self) -> None:
        """Give back the file; the log stays beside it for whoever opens it next."""
        with self._one_turn:
            for connection in (*self._idle, self._writer):
                if connection is not None:
                    connection.close()
            self._idle.clear()
            self._writer = None

    @contextmanager
    def _reading(self) -> Iterator[apsw.Connection]:
        connection = self._idle.pop() if self._idle else self._reader()
        try:
            connection.execute("BEGIN")
            yield connection
            connection.execute("ROLLBACK")
        except apsw.Error as error:
            connection.close()
            raise _unreadable(error) from error
        except BaseException:
            connection.execute("ROLLBACK")
            self._idle.append(connection)
            raise
        self._idle.append(connection)

    def _reader(self) -> apsw.Connection:
        try:
            return connections.reader(self._folder / schema.LEDGER, vfs=self._vfs)
        except apsw.Error as error:
            raise _unreadable(error) from error

    @contextmanager
    def _turn(self) -> Iterator[Turn]:
        with self._one_turn, held(self._folder, _WAIT_S):
            connection = self._writing()
            turn = Turn(connection, self._folds, self._signer)
            try:
                turn.begin()
                yield turn
                turn.commit()
            except apsw.Error as error:
                raise self._failed(connection, error) from error
            except BaseException:
                connection.execute("ROLLBACK")
                raise
            self._copy_back(connection)

    def _writing(self) -> apsw.Connection:
        if self._stopped:
            raise BusyError(
                "writing stopped after a disk error; nothing was recorded",
                advice="start thawline again; thawline doctor",
            )
        if self._writer is None:
            try:
                self._writer = self._opened_writer()
            except apsw.Error as error:
                raise BusyError(
                    f"disk error: {error}; nothing was recorded", advice="thawline doctor"
                ) from error
        return self._writer

    def _opened_writer(self) -> apsw.Connection:
        path = self._folder / schema.LEDGER
        opened = connections.writer(path, synchronous=self._synchronous, vfs=self._vfs)
        opened.set_wal_hook(partial(_note_pages, self._log_pages))
        if (self._folder / SUSPECT).exists():
            # What the log seems to hold may be in memory only, after a sync that failed (0021).
            opened.wal_checkpoint(mode=apsw.SQLITE_CHECKPOINT_TRUNCATE)
            (self._folder / SUSPECT).unlink()
        return opened

    def _copy_back(self, connection: apsw.Connection) -> None:
        """Copy a long log back into the file, under the writer's lock; all of it is on disk."""
        if self._log_pages[0] < self.pages_before_copy:
            return
        try:
            connection.wal_checkpoint(mode=apsw.SQLITE_CHECKPOINT_PASSIVE)
        except apsw.FullError:
            return  # the log grows until there is space; the next act that finds none says so
        except apsw.Error:
            self._stop()

    def _failed(self, connection: apsw.Connection, error: apsw.Error) -> ThawlineError:
        try:
            if connection.in_transaction:
                connection.execute("ROLLBACK")
        except apsw.Error:
            self._stop()
        if isinstance(error, apsw.FullError):
            return BusyError(_FULL[0], advice=_FULL[1])
        if isinstance(error, apsw.BusyError):
            return BusyError("another program holds the ledger; nothing was recorded")
        self._stop()
        if isinstance(error, apsw.CorruptError | apsw.NotADBError):
            return _unreadable(error)
        return IndeterminateError(
            f"disk error: {error}; it is not known whether it was recorded"
        )

    def _stop(self) -> None:
        self._stopped = True
        (self._folder / SUSPECT).touch()


def ask_again(act: Act) -> str:
    """Return how to find out whether an act was recorded: the same words, id and time again."""
    return f"repeat the command with --id {act.id} --at {written(act.occurred.lo)}"


def _note_pages(noted: list[int], _connection: apsw.Connection, _name: str, pages: int) -> int:
    noted[0] = pages
    return apsw.SQLITE_OK


def _unreadable(error: apsw.Error) -> ThawlineError:
    return RecordError(
        f"the ledger cannot be read: {error}",
        advice="write nothing; thawline doctor, then thawline backup restore",
    )
