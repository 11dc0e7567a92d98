"""
Everything that is looked at before a site is served, restored or told to be in order.

A single act on the command line looks at less: the newest entry and the format.
"""

from pathlib import Path

import apsw

from thawline.adapters.db import connections, schema
from thawline.adapters.db.book import Book
from thawline.adapters.db.heads import Checker
from thawline.adapters.db.place import place_findings
from thawline.adapters.db.verify import verify
from thawline.adapters.db.witness import noted
from thawline.base.findings import Finding, Level, worst_first
from thawline.base.instants import Instant, from_ms, written
from thawline.ledger.folding import Folds
from thawline.ledger.stored import header_of


def gate(
    folder: Path, folds: Folds, now: Instant, is_signed: Checker | None
) -> tuple[Finding, ...]:
    """Return what speaks against working with the site in this folder, worst first."""
    found = place_findings(folder)
    version = apsw.sqlite_lib_version()
    if connections.has_log_fault(version):
        says = f"SQLite {version} can damage a ledger that two programs write"
        found.append(Finding(Level.STOP, "sqlite-version", says))
        return worst_first(found)
    return worst_first([*found, *_ledger(folder, folds, now, is_signed)])


def _ledger(
    folder: Path, folds: Folds, now: Instant, is_signed: Checker | None
) -> tuple[Finding, ...]:
    if not (folder / schema.LEDGER).exists():
        return (Finding(Level.STOP, "ledger-missing", "there is no ledger in this folder"),)
    connection = connections.reader(folder / schema.LEDGER)
    try:
        connection.execute("BEGIN")
        verified = verify(connection, folds, is_signed, noted(folder))
        clock = () if verified.findings else _clock(Book(connection), now)
    finally:
        connection.close()
    return (*verified.findings, *clock)


def _clock(book: Book, now: Instant) -> tuple[Finding, ...]:
    last = book.last()
    if last is None or now >= from_ms(header_of(last).recorded_ms):
        return ()
    latest = from_ms(header_of(last).recorded_ms)
    says = (
        f"this machine's clock says {written(now)}, before the last entry of {written(latest)}:"
        " two people set the clock before any vial is used"
    )
    return (Finding(Level.STOP, "clock-behind", says),)
