"""
A stream sealed for named keys, in frames, so that a missing or moved piece is noticed.

Each frame is sealed under the file's own key with its number and whether it is the last; the
file's key is sealed once for each recipient. Decision 0025; the bytes: ledger-format.md.
"""

import io
import os
from collections.abc import Sequence
from hashlib import sha256
from typing import Any, BinaryIO

from cryptography.exceptions import InvalidTag
from cryptography.hazmat.primitives.asymmetric.x25519 import X25519PrivateKey, X25519PublicKey
from cryptography.hazmat.primitives.ciphers.aead import ChaCha20Poly1305
from cryptography.hazmat.primitives.hashes import SHA256
from cryptography.hazmat.primitives.kdf.hkdf import HKDF
from msgspec import MsgspecError, Struct
from msgspec.json import Decoder

from thawline.base.errors import RecordError
from thawline.ledger.canonical import body_bytes

FRAME_BYTES = 1 << 20
MAGIC = b"thawline/backup/1\n"
_SIZE_BYTES = 4
_MOST_HEADER_BYTES = 1 << 16
_MOST_SEALED_BYTES = FRAME_BYTES + 16
_LAST = 1 << 31  # the top bit of a frame's size
_WRAPPING = b"thawline/backup/1 key"


class Recipient(Struct, frozen=True, kw_only=True, forbid_unknown_fields=True):
    """The file's key, sealed for one X25519 public key; all in hexadecimal."""

    ephemeral: str
    key: str
    wrapped: str


class Cover(Struct, frozen=True, kw_only=True, forbid_unknown_fields=True):
    """What stands readable in front of a backup: whose it is and how far it goes."""

    at_ms: int
    epoch: int
    hash: str
    name: str
    recipients: tuple[Recipient, ...]
    seq: int
    site: str


_covers = Decoder(Cover)


def wrapped(file_key: bytes, publics: Sequence[bytes]) -> tuple[Recipient, ...]:
    """Return the file's key sealed for each recipient's public key."""
    return tuple(_wrapped(file_key, public) for public in publics)


def unwrapped(cover: Cover, secret: bytes) -> bytes:
    """
    Return the file's key.

    Raises:
        RecordError: The backup was not made for this key.
    """
    own = X25519PrivateKey.from_private_bytes(secret)
    public = own.public_key().public_bytes_raw()
    for recipient in cover.recipients:
        if recipient.key == public.hex():
            return _unwrapped(recipient, own)
    raise RecordError(
        f"the backup of {cover.name} was not made for the key here",
        advice="give the key it was made for, as --key FILE",
    )


class SealedWriter(io.RawIOBase):
    """Seals what is written to it; `close` seals the last frame."""

    def __init__(self, out: BinaryIO, cover: Cover, file_key: bytes) -> None:
        self._out = out
        self._cipher = ChaCha20Poly1305(file_key)
        self._waiting = bytearray()
        self._number = 0
        told = body_bytes(cover)
        self._about = sha256(told).digest()
        out.write(MAGIC + len(told).to_bytes(_SIZE_BYTES, "big") + told)

    def writable(self) -> bool:
        """Return true: this is for writing."""
        return True

    def write(self, said: Any) -> int:
        """Take the bytes; whole frames go out as soon as it is known that more follows."""
        self._waiting += said
        while len(self._waiting) > FRAME_BYTES:
            self._seal(bytes(self._waiting[:FRAME_BYTES]), last=False)
            del self._waiting[:FRAME_BYTES]
        return len(said)

    def close(self) -> None:
        """Seal what is left as the last frame."""
        if not self.closed:
            self._seal(bytes(self._waiting), last=True)
        super().close()

    def _seal(self, said: bytes, *, last: bool) -> None:
        about = _frame_about(self._about, self._number, last=last)
        sealed = self._cipher.encrypt(_nonce(self._number), said, about)
        size = len(sealed) | (_LAST if last else 0)
        self._out.write(size.to_bytes(_SIZE_BYTES, "big") + sealed)
        self._number += 1


class SealedReader(io.RawIOBase):
    """Opens what `SealedWriter` sealed, frame by frame."""

    def __init__(self, source: BinaryIO, secret: bytes) -> None:
        self._source = source
        self.cover, self._about = read_cover(source)
        self._key = unwrapped(self.cover, secret)
        self._opened = b""
        self._number = 0
        self._ended = False

    def readable(self) -> bool:
        """Return true: this is for reading."""
        return True

    def readinto(self, into: Any) -> int:
        """Fill the buffer with what was sealed; 0 at the end of the last frame."""
        while not self._opened and not self._ended:
            self._next_frame()
        taken = self._opened[: len(into)]
        into[: len(taken)] = taken
        self._opened = self._opened[len(taken) :]
        return len(taken)

    def finish(self) -> None:
        """Read to the end of the last frame, and look that nothing comes after it."""
        while self.read(FRAME_BYTES):
            pass
        if self._source.read(1):
            raise _damaged("something was added after its end")

    def _next_frame(self) -> None:
        told = int.from_bytes(_exactly(self._source, _SIZE_BYTES), "big")
        last, size = bool(told & _LAST), told & ~_LAST
        if size > _MOST_SEALED_BYTES:
            raise _damaged(f"piece {self._number} claims {size} bytes")
        sealed = _exactly(self._source, size)
        about = _frame_about(self._about, self._number, last=last)
        self._opened = _unsealed(self._key, self._number, sealed, about)
        self._number += 1
        self._ended = last


def read_cover(source: BinaryIO) -> tuple[Cover, bytes]:
    """
    Return what stands in front of a backup, and the hash that each frame was sealed with.

    Raises:
        RecordError: It is not a backup.
    """
    if source.read(len(MAGIC)) != MAGIC:
        raise RecordError("not a backup of thawline", advice="thawline backup make")
    size = int.from_bytes(_exactly(source, _SIZE_BYTES), "big")
    if size > _MOST_HEADER_BYTES:
        raise _damaged(f"its front page claims {size} bytes")
    told = _exactly(source, size)
    try:
        return _covers.decode(told), sha256(told).digest()
    except MsgspecError as error:
        raise _damaged(f"its front page cannot be read: {error}") from error


def _wrapped(file_key: bytes, public: bytes) -> Recipient:
    ephemeral = X25519PrivateKey.generate()
    sent = ephemeral.public_key().public_bytes_raw()
    shared = ephemeral.exchange(X25519PublicKey.from_public_bytes(public))
    sealed = ChaCha20Poly1305(_wrapping_key(shared, sent, public)).encrypt(
        _nonce(0), file_key, b""
    )
    return Recipient(ephemeral=sent.hex(), key=public.hex(), wrapped=sealed.hex())


def _unwrapped(recipient: Recipient, own: X25519PrivateKey) -> bytes:
    try:
        ephemeral, sealed = bytes.fromhex(recipient.ephemeral), bytes.fromhex(recipient.wrapped)
        shared = own.exchange(X25519PublicKey.from_public_bytes(ephemeral))
    except ValueError as error:
        raise _damaged(f"its key cannot be read: {error}") from error
    public = own.public_key().public_bytes_raw()
    return _unsealed(_wrapping_key(shared, ephemeral, public), 0, sealed, b"")


def _wrapping_key(shared: bytes, ephemeral: bytes, public: bytes) -> bytes:
    derive = HKDF(algorithm=SHA256(), length=32, salt=ephemeral + public, info=_WRAPPING)
    return derive.derive(shared)


def _unsealed(key: bytes, number: int, sealed: bytes, about: bytes) -> bytes:
    try:
        return ChaCha20Poly1305(key).decrypt(_nonce(number), sealed, about)
    except InvalidTag as error:
        raise _damaged(f"piece {number} was changed, moved or cut") from error


def _frame_about(about: bytes, number: int, *, last: bool) -> bytes:
    return about + number.to_bytes(8, "big") + bytes([last])


def _nonce(number: int) -> bytes:
    return number.to_bytes(12, "big")


def _exactly(source: BinaryIO, size: int) -> bytes:
    found = source.read(size)
    if len(found) != size:
        raise _damaged("its end is missing")
    return found


def _damaged(what: str) -> RecordError:
    return RecordError(f"the backup is damaged: {what}", advice="use another backup")


def new_file_key() -> bytes:
    """Return a key for one file."""
    return os.urandom(32)
