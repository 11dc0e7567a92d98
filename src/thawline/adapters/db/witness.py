"""
The newest entry that was acknowledged, noted beside the ledger: `newest-entry`.

It is written after the commit and never synced, so it can lag behind and never run ahead. A
ledger that ends before it, or has another hash there, has lost what somebody was told is kept:
an older copy was put in its place, its log was damaged, or the disk lied.
"""

import os
from hashlib import sha256
from pathlib import Path

from thawline.adapters.db.book import Book
from thawline.base.findings import Finding, Level
from thawline.ledger.entries import Head

WITNESS = "newest-entry"
_BYTES = 128
_DIGEST_DIGITS = 16


def note(folder: Path, head: Head) -> None:
    """Note the newest entry. Where it cannot be written it lags, and that is never wrong."""
    told = f"{head.epoch} {head.seq} {head.hash.hex()}"
    line = f"{told} {_digest(told)}".ljust(_BYTES - 1) + "\n"
    try:
        handle = os.open(folder / WITNESS, os.O_WRONLY | os.O_CREAT | os.O_CLOEXEC, 0o600)
    except OSError:
        return
    try:
        os.pwrite(handle, line.encode(), 0)
    except OSError:
        return
    finally:
        os.close(handle)


def noted(folder: Path) -> Head | None:
    """Return the newest entry that was noted, None if none was or the note was torn."""
    try:
        words = (folder / WITNESS).read_text().split()
    except (OSError, UnicodeDecodeError):
        return None
    told = " ".join(words[:3])
    if len(words) != 4 or words[3] != _digest(told):  # noqa: PLR2004  three words and the digest
        return None
    return Head(int(words[0]), int(words[1]), bytes.fromhex(words[2]))


def lost(book: Book, acknowledged: Head | None) -> Finding | None:
    """Return a finding if the ledger does not hold the entry that was acknowledged."""
    if acknowledged is None:
        return None
    seq, last = acknowledged.seq, book.head().seq
    if seq > last:
        says = f"entries {last + 1} to {seq} were acknowledged and are gone"
    elif book.row(seq).hash != acknowledged.hash:
        says = f"entry {seq} is not the one that was acknowledged under this number"
    else:
        return None
    return Finding(Level.STOP, "ledger-lost", f"{says}: an older copy, a damaged log or disk")


def _digest(told: str) -> str:
    return sha256(told.encode()).hexdigest()[:_DIGEST_DIGITS]
