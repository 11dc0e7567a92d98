"""
The site's ledger on disk: views for reading, one act at a time for writing.

An error while writing is never taken for "not saved": after one the ledger stops writing, and
only asking again with the same id, from a fresh start, tells what happened.
"""

from collections.abc import Iterator, Sequence
from contextlib import contextmanager
from pathlib import Path
from threading import Lock
from uuid import UUID

import apsw

from thawline.adapters.db import connections, schema, witness
from thawline.adapters.db.book import Book
from thawline.adapters.db.heads import Checker, Signer
from thawline.adapters.db.lock import held
from thawline.adapters.db.pen import Pen, unreadable
from thawline.adapters.db.projections import Projections
from thawline.adapters.db.turn import Outcome, Turn
from thawline.adapters.db.verify import Verified, verify
from thawline.adapters.db.view import DbView
from thawline.base.errors import IndeterminateError
from thawline.base.instants import written
from thawline.ledger.entries import Act, Decide, Receipt
from thawline.ledger.folding import Folds
from thawline.ledger.heads import Statement
from thawline.ledger.receipts import given

_WAIT_S = connections.WAIT_MS / 1000


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
        self._vfs = vfs
        self._one_turn = Lock()
        self._idle: list[apsw.Connection] = []
        self._pen = Pen(folder, synchronous, vfs)
        with self._reading() as connection:
            schema.check_format(connection)
            self.site_id: UUID = Book(connection).site

    @contextmanager
    def view(self) -> Iterator[DbView]:
        """Return a consistent view; it sees nothing written later."""
        with self._reading() as connection:
            book = Book(connection)
            projections = Projections(connection, book, self._folds)
            while not projections.are_current():  # this first read also fixes the moment
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
            return verify(connection, self._folds, is_signed, witness.noted(self._folder))

    def close(self) -> None:
        """Give back the file; the log stays beside it for whoever opens it next."""
        with self._one_turn:
            while self._idle:
                self._idle.pop().close()
            self._pen.close()

    @contextmanager
    def _reading(self) -> Iterator[apsw.Connection]:
        connection = self._reader()
        try:
            connection.execute("BEGIN")
            yield connection
        except apsw.Error as error:
            connection.close()
            raise unreadable(error) from error
        except BaseException:
            self._rest(connection)
            raise
        self._rest(connection)

    def _reader(self) -> apsw.Connection:
        try:
            return self._idle.pop()
        except IndexError:
            pass  # every reader is in use
        try:
            return connections.reader(self._folder / schema.LEDGER, vfs=self._vfs)
        except apsw.Error as error:
            raise unreadable(error) from error

    def _rest(self, connection: apsw.Connection) -> None:
        if connection.in_transaction:
            connection.execute("ROLLBACK")
        self._idle.append(connection)

    @contextmanager
    def _turn(self) -> Iterator[Turn]:
        with self._one_turn, held(self._folder, _WAIT_S):
            turn = Turn(
                self._pen.connection(),
                self._folds,
                self._signer,
                witness.noted(self._folder),
            )
            try:
                turn.begin()
                yield turn
                head = turn.commit()
            except apsw.Error as error:
                raise self._pen.failed(error) from error
            except BaseException:
                self._pen.take_back()
                raise
            if head is not None:
                witness.note(self._folder, head)
            self._pen.copy_back(self.pages_before_copy)


def ask_again(act: Act) -> str:
    """Return how to find out whether an act was recorded: the same words, id and time again."""
    first, last = written(act.occurred.lo), written(act.occurred.hi)
    until = "" if first == last else f" --until {last}"
    return f"repeat the command with --id {act.id} --at {first}{until}"
