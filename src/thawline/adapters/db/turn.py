"""
A writer's turn: what happens to the acts between the beginning of a transaction and its end.

The newest entry is read again and looked at, whatever was written meanwhile is folded, then
each act is decided, written and folded. Nothing read here outlives the turn.
"""

from dataclasses import replace

import apsw

from thawline.adapters.db.book import Book
from thawline.adapters.db.heads import SignedHeads, Signer
from thawline.adapters.db.projections import Projections
from thawline.adapters.db.view import DbView
from thawline.adapters.db.witness import lost
from thawline.base.errors import RecordError
from thawline.base.findings import Finding
from thawline.base.instants import Instant, from_ms
from thawline.ledger.chain import NOTHING, Row
from thawline.ledger.corrections import check_correction
from thawline.ledger.entries import Act, Decide, Decision, Head
from thawline.ledger.events import Corrected
from thawline.ledger.folding import Folds
from thawline.ledger.heads import Statement
from thawline.ledger.receipts import (
    Answer,
    answer_of,
    decided,
    fingerprint,
    receipt_bytes,
    same_act,
    timed,
)
from thawline.ledger.stored import entry_of, event_of, header_of, next_row

Outcome = Answer | Exception
"""A receipt, a refusal, or what went wrong with this one act."""


class Turn:
    """One transaction of the writer, from its first read to its commit."""

    def __init__(
        self,
        connection: apsw.Connection,
        folds: Folds,
        signer: Signer | None,
        acknowledged: Head | None,
    ) -> None:
        self._connection = connection
        self._acknowledged = acknowledged
        self._lost: tuple[Finding, ...] = ()
        self._began = NOTHING
        self._book = Book(connection)
        self._projections = Projections(connection, self._book, folds)
        self._heads = SignedHeads(connection, self._book)
        self._signer = signer

    def begin(self) -> None:
        """
        Begin, and take in what others wrote.

        Raises:
            RecordError: The newest entry is not as it was written.
        """
        self._connection.execute("BEGIN IMMEDIATE")
        self._began = self._book.head()
        gone = lost(self._book, self._acknowledged)
        self._lost = () if gone is None else (gone,)
        self._projections.catch_up()

    def settle(self, act: Act, decide: Decide) -> Answer:
        """Return what the act is answered; written unless its id was settled before."""
        before = self._book.find(act.id)
        if before is not None:
            return self._again(act, before)
        asked = fingerprint(act)
        act, decision = decided(act, decide, DbView(self._book, self._projections))
        decision = replace(decision, findings=(*decision.findings, *self._lost))
        if isinstance(decision.event, Corrected):
            self._check(decision.event)
        return self._write(*timed(act, decision, self._last_time()), asked=asked)

    def attempt(self, act: Act, decide: Decide) -> Outcome:
        """Return what the act is answered; one that goes wrong takes nothing else with it."""
        self._connection.execute("SAVEPOINT act")
        try:
            answer = self.settle(act, decide)
        except apsw.Error:
            raise
        except Exception as error:  # noqa: BLE001 - raised again to whoever asked for the act
            self._connection.execute("ROLLBACK TO act")
            self._projections.forget()
            return error
        finally:
            if self._connection.in_transaction:
                self._connection.execute("RELEASE act")
        return answer

    def sign_head(self) -> Statement | None:
        """Sign the head now; return what is signed, None for an empty ledger."""
        if self._signer is None:
            raise RecordError("no key to sign the head with", advice="thawline site show")
        self._heads.sign(self._signer)
        return self._heads.newest()

    def commit(self) -> Head | None:
        """Put everything on the disk; return the newest entry, None if none was written."""
        self._projections.settle()
        if self._signer is not None:
            self._heads.sign_if_due(self._signer)
        head = self._book.head()
        self._connection.execute("COMMIT")
        return None if head == self._began else head

    def _write(self, act: Act, decision: Decision, asked: str) -> Answer:
        row = next_row(self._book.site, self._book.head(), act, decision, asked)
        kept = receipt_bytes(row, header_of(row))
        self._connection.execute(
            "INSERT INTO event VALUES (?, ?, ?, ?, ?, ?, ?, ?)",
            (
                row.seq,
                row.epoch,
                row.id,
                row.header,
                row.body,
                row.body_sha256,
                row.prev,
                row.hash,
            ),
        )
        self._connection.execute(
            "INSERT INTO receipt VALUES (?, ?, ?, ?)",
            (row.id, row.seq, bytes.fromhex(asked), kept),
        )
        entry = entry_of(row)
        if isinstance(entry.event, Corrected):
            self._connection.execute("INSERT INTO correction VALUES (?)", (row.seq,))
        self._projections.follow(entry)
        return answer_of(kept, entry.event, again=False)

    def _again(self, act: Act, row: Row) -> Answer:
        asked = "SELECT fingerprint, answer FROM receipt WHERE event_id = ?"
        found = self._connection.execute(asked, (row.id,)).fetchone()
        if found is None:
            raise RecordError(
                f"the receipt of entry {row.seq} is missing", advice="thawline journal verify"
            )
        same_act(act, found[0].hex())
        event = event_of(header_of(row).type, row.body)
        return answer_of(found[1], event, again=True)

    def _check(self, correction: Corrected) -> None:
        seq = self._book.seq_of(correction.target)
        check_correction(None if seq is None else self._book.entry(seq), correction)

    def _last_time(self) -> Instant | None:
        last = self._book.last()
        return None if last is None else from_ms(header_of(last).recorded_ms)
