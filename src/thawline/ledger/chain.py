"""
Each entry is chained to the one before it: change one byte and every later hash is wrong.

What is hashed are the very bytes that are stored. They are compared and never written anew.
"""

from collections.abc import Iterable, Iterator
from hashlib import sha256
from uuid import UUID

from msgspec import Struct

from thawline.base.findings import Finding, Level
from thawline.ledger.entries import Head

_ENTRY = b"thawline/ev/1\0"
_HASH_BYTES = 32
NOTHING = Head(epoch=1, seq=0, hash=bytes(_HASH_BYTES))
"""The head of a ledger without entries."""


class Row(Struct, frozen=True, gc=False):
    """An entry as it is stored: its place, the bytes of its header and body, and its link."""

    seq: int
    epoch: int
    id: bytes
    header: bytes
    body: bytes
    body_sha256: bytes
    prev: bytes
    hash: bytes

    @property
    def head(self) -> Head:
        """Return the place of this entry, as the newest."""
        return Head(self.epoch, self.seq, self.hash)


def link(site: UUID, place: Head, header: bytes, body_sha256: bytes) -> bytes:
    """Return an entry's hash; `place` has its own epoch and number and the hash before it."""
    return sha256(
        _ENTRY
        + site.bytes
        + place.epoch.to_bytes(4, "big")
        + place.seq.to_bytes(8, "big")
        + place.hash
        + sha256(header).digest()
        + body_sha256
    ).digest()


def chained(site: UUID, place: Head, entry_id: UUID, header: bytes, body: bytes) -> Row:
    """Return an entry's row; `place` has its own epoch and number and the hash before it."""
    digest = sha256(body).digest()
    return Row(
        seq=place.seq,
        epoch=place.epoch,
        id=entry_id.bytes,
        header=header,
        body=body,
        body_sha256=digest,
        prev=place.hash,
        hash=link(site, place, header, digest),
    )


def is_whole(site: UUID, row: Row) -> bool:
    """Say whether a row's bytes are those that were hashed, whatever stands before it."""
    place = Head(row.epoch, row.seq, row.prev)
    return (
        sha256(row.body).digest() == row.body_sha256
        and link(site, place, row.header, row.body_sha256) == row.hash
    )


def breaks(site: UUID, rows: Iterable[Row], before: Head = NOTHING) -> Iterator[Finding]:
    """Yield a finding for each row that was changed or does not follow the one before it."""
    for row in rows:
        if not is_whole(site, row):
            yield _broken("changed", f"entry {row.seq} is not as it was written")
        if row.seq != before.seq + 1:
            yield _broken("gap", f"entry {before.seq + 1} is missing before entry {row.seq}")
        elif row.prev != before.hash or row.epoch not in (before.epoch, before.epoch + 1):
            yield _broken("unlinked", f"entry {row.seq} does not follow entry {before.seq}")
        before = row.head


def _broken(code: str, says: str) -> Finding:
    return Finding(Level.STOP, f"ledger-{code}", says)
