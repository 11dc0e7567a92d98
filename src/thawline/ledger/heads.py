"""
What the site signs from time to time: how far its ledger had come, and the hash it had there.

A chain alone can be written anew from end to end by whoever holds the file. A signed head that
has left the machine, on paper or on another disk, shows that it was.
"""

from collections import Counter
from collections.abc import Iterable
from uuid import UUID

from msgspec import Struct
from msgspec.json import Decoder

from thawline.base.instants import Instant, to_ms
from thawline.ledger.canonical import body_bytes
from thawline.ledger.entries import Head

_HEAD = b"thawline/head/1\0"
_GROUPS, _DIGITS = 4, 4
ENTRIES_BETWEEN = 256
"""After how many entries the head is signed of itself."""


class Statement(Struct, frozen=True, kw_only=True, forbid_unknown_fields=True):
    """What is signed: `counts` says how many entries of each kind there were."""

    at_ms: int
    counts: dict[str, int]
    epoch: int
    hash: str
    seq: int
    site: str


_statements = Decoder(Statement)


def statement(site: UUID, head: Head, at: Instant, counts: dict[str, int]) -> bytes:
    """Return the bytes of a statement about the head."""
    return body_bytes(
        Statement(
            at_ms=to_ms(at),
            counts=counts,
            epoch=head.epoch,
            hash=head.hash.hex(),
            seq=head.seq,
            site=str(site),
        )
    )


def signed_message(stated: bytes) -> bytes:
    """Return what the signature is made over; it can never be taken for a protocol file."""
    return _HEAD + stated


def read_statement(stated: bytes) -> Statement:
    """Return the statement from its bytes; msgspec's errors if they are not one."""
    return _statements.decode(stated)


def counted_kinds(before: dict[str, int], kinds: Iterable[str]) -> dict[str, int]:
    """Return how many entries of each kind there are with these added."""
    return dict(Counter(before) + Counter(kinds))


def short(hashed: bytes) -> str:
    """Return the first 64 bits of a hash, to be read aloud or compared on paper."""
    digits = hashed.hex()
    return " ".join(digits[at * _DIGITS : (at + 1) * _DIGITS] for at in range(_GROUPS))
