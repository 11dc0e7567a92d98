"""
Everything that can be looked at in a ledger, looked at: nothing is believed.

Each entry's bytes and link, its receipt, the list of corrections, the signed heads, and every
state folded anew and compared. What is found names the entry or the thing that it concerns.
"""

from collections.abc import Callable, Iterator
from dataclasses import dataclass
from itertools import islice
from typing import Any

import apsw
from msgspec import MsgspecError

from thawline.adapters.db import schema
from thawline.adapters.db.book import Book
from thawline.adapters.db.fold_tables import FoldTable, state_bytes
from thawline.adapters.db.heads import Checker, SignedHeads
from thawline.adapters.db.projections import folded
from thawline.adapters.db.witness import lost
from thawline.base.errors import RecordError
from thawline.base.findings import Finding, Level
from thawline.ledger.chain import NOTHING, breaks
from thawline.ledger.entries import Fold, Head
from thawline.ledger.events import Corrected
from thawline.ledger.folding import Folded, Folds
from thawline.ledger.heads import counted_kinds, read_statement, signed_message
from thawline.ledger.receipts import receipt_bytes
from thawline.ledger.stored import entry_of, header_of

_MOST = 20
_UNREADABLE = (apsw.Error, RecordError, MsgspecError, TypeError, ValueError)
"""What comes of reading damaged bytes as rows, entries, ids and states."""
Found = Iterator[Finding]


@dataclass(frozen=True, slots=True)
class Verified:
    """
    What came of it: no findings means that everything is as it was written.

    `signed_upto` is the newest entry under a signed head, 0 if there is none.
    """

    entries: int
    head: Head
    signed_heads: int
    signed_upto: int
    findings: tuple[Finding, ...]


def verify(
    connection: apsw.Connection,
    folds: Folds,
    is_signed: Checker | None,
    acknowledged: Head | None,
) -> Verified:
    """
    Look at the whole ledger, within a transaction that the caller has begun.

    Args:
        connection: Reads only.
        folds: Those whose states are kept.
        is_signed: None where the site's public key is not at hand; no signature is looked at.
        acknowledged: The newest entry that is noted beside the ledger, None if none is.
    """
    book = Book(connection)
    heads = SignedHeads(connection, book)
    found = [
        *_first(lambda: _file(connection)),
        *_first(lambda: _entries(connection, book)),
        *_first(lambda: _corrections(connection, book)),
        *_first(lambda: _heads(book, heads, is_signed)),
        *_first(lambda: _acknowledged(book, acknowledged)),
    ]
    if not found:
        found = _first(lambda: _states(connection, book, folds))
    signed = [] if found else list(heads.all())
    return Verified(
        entries=_entry_count(connection),
        head=NOTHING if found else book.head(),
        signed_heads=len(signed),
        signed_upto=max((seq for seq, _, _ in signed), default=0),
        findings=tuple(found),
    )


def _first(look: Callable[[], Found]) -> list[Finding]:
    """Return the first findings of a look, and one more if the file could not be read."""
    found: list[Finding] = []
    try:
        found.extend(islice(look(), _MOST))
    except _UNREADABLE as error:
        found.append(_stop("unreadable", f"the ledger cannot be read: {error}"))
    return found


def _entry_count(connection: apsw.Connection) -> int:
    try:
        return int(connection.execute("SELECT count(*) FROM event NOT INDEXED").get)
    except apsw.Error:
        return 0


def _file(connection: apsw.Connection) -> Found:
    schema.check_format(connection)
    for (says,) in connection.execute("PRAGMA integrity_check(20)"):
        if says != "ok":
            yield _stop("file", f"the file is damaged: {says}")
    yield from schema.differences(connection)


def _entries(connection: apsw.Connection, book: Book) -> Found:
    yield from breaks(book.site, book.rows())
    receipts = connection.execute(
        "SELECT seq, event_id, fingerprint, answer FROM receipt ORDER BY seq"
    )
    for row in book.rows():
        kept = receipts.fetchone()
        header = header_of(row)
        entry_of(row)
        due = (row.seq, row.id, bytes.fromhex(header.asked), receipt_bytes(row, header))
        if kept != due:
            yield _stop(
                "receipt", f"the receipt of entry {row.seq} is not the one it was given"
            )
            return
    if receipts.fetchone() is not None:
        yield _stop("receipt", "there is a receipt without an entry")


def _corrections(connection: apsw.Connection, book: Book) -> Found:
    listed = {seq for (seq,) in connection.execute("SELECT seq FROM correction")}
    corrected = Corrected.__name__
    made = {row.seq for row in book.rows() if header_of(row).type == corrected}
    for seq in sorted(listed ^ made):
        yield _stop("correction", f"entry {seq} is listed wrongly among the corrections")


def _heads(book: Book, heads: SignedHeads, is_signed: Checker | None) -> Found:
    kinds: dict[str, int] = {}
    upto = 0
    for seq, stated, signature in heads.all():
        if is_signed is not None and not is_signed(signed_message(stated), signature):
            yield _stop("head", f"the head at entry {seq} is not signed with this site's key")
        headers = (header_of(row) for row in book.rows(upto, seq - upto))
        kinds, upto = counted_kinds(kinds, (header.kind for header in headers)), seq
        said = read_statement(stated)
        row = book.row(seq)
        now = (str(book.site), row.epoch, row.seq, row.hash.hex(), kinds)
        if (said.site, said.epoch, said.seq, said.hash, said.counts) != now:
            yield _stop("head", f"entry {seq} is not the one whose hash was signed")


def _acknowledged(book: Book, acknowledged: Head | None) -> Found:
    gone = lost(book, acknowledged)
    if gone is not None:
        yield gone


def _states(connection: apsw.Connection, book: Book, folds: Folds) -> Found:
    anew = folded(book, folds)
    for fold in folds:
        table = FoldTable(connection, fold)
        if table.upto() is None:
            continue  # not kept by this version so far; it is folded before it is first read
        if table.upto() != book.head().seq:
            yield _stop(
                "states", f"the states of every {fold.name} were not brought up to date"
            )
            continue
        yield from _compared(fold, dict(table.rows()), anew[fold.name])
        yield from _touched(fold, table, anew[fold.name])


def _compared(fold: Fold[Any], kept: dict[str, bytes], anew: Folded) -> Found:
    for key, state in anew.states.items():
        if kept.pop(key, None) != state_bytes(state):
            last = max(anew.touched[key])
            yield _stop(
                "state",
                f"what is kept of {fold.name} {key} is not what its entries say;"
                f" the last is entry {last}",
            )
    for key in kept:
        yield _stop("state", f"{fold.name} {key} is kept, and no entry speaks of it")


def _touched(fold: Fold[Any], table: FoldTable, anew: Folded) -> Found:
    due = (
        (key, abs(seq), int(seq > 0))
        for key in sorted(anew.touched)
        for seq in sorted(anew.touched[key], key=abs)
    )
    kept = table.touches()
    for row in due:
        if next(kept, None) != row:
            yield _stop(
                "touch", f"the list of entries on {fold.name} {row[0]} is wrong at {row[1]}"
            )
            return
    if next(kept, None) is not None:
        yield _stop("touch", f"the list of entries on every {fold.name} is too long")


def _stop(code: str, says: str) -> Finding:
    return Finding(Level.STOP, f"ledger-{code}", says)
