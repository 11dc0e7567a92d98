"""
A sealed stream, opened here a second time from docs/reference/ledger-format.md alone, and taken
apart piece by piece: no piece can be dropped, doubled or moved.
"""

import io
import json
from hashlib import sha256

import pytest
from cryptography.hazmat.primitives.asymmetric.x25519 import X25519PrivateKey, X25519PublicKey
from cryptography.hazmat.primitives.ciphers.aead import ChaCha20Poly1305
from cryptography.hazmat.primitives.hashes import SHA256
from cryptography.hazmat.primitives.kdf.hkdf import HKDF

from thawline.adapters.db.sealing import (
    FRAME_BYTES,
    MAGIC,
    Cover,
    SealedReader,
    SealedWriter,
    new_file_key,
    wrapped,
)
from thawline.base.errors import RecordError

SECRET = X25519PrivateKey.from_private_bytes(bytes(range(32)))
TOLD = b"".join(sha256(bytes([number])).digest() for number in range(256))
TWO_AND_A_HALF = (TOLD * (FRAME_BYTES // len(TOLD) * 3))[: FRAME_BYTES * 5 // 2]
LAST = 1 << 31


def sealed(told: bytes) -> bytes:
    key = new_file_key()
    cover = Cover(
        at_ms=1770141600000,
        epoch=1,
        hash="00" * 32,
        name="harrowmint",
        recipients=wrapped(key, [SECRET.public_key().public_bytes_raw()]),
        seq=7,
        site="01890a5d-ac96-774b-bcce-b302099a8057",
    )
    out = io.BytesIO()
    with SealedWriter(out, cover, key) as writer:
        for start in range(0, len(told), 100_000):
            writer.write(told[start : start + 100_000])
    return out.getvalue()


def opened(held: bytes) -> bytes:
    reader = SealedReader(io.BytesIO(held), SECRET.private_bytes_raw())
    told = reader.read()
    reader.finish()
    return told


def parts(held: bytes) -> tuple[bytes, list[bytes]]:
    """Return what stands in front, and the frames with their sizes."""
    at = len(MAGIC) + 4 + int.from_bytes(held[len(MAGIC) : len(MAGIC) + 4], "big")
    front, frames = held[:at], []
    while at < len(held):
        size = int.from_bytes(held[at : at + 4], "big") & ~LAST
        frames.append(held[at : at + 4 + size])
        at += 4 + size
    return front, frames


def as_last(frame: bytes) -> bytes:
    return (int.from_bytes(frame[:4], "big") | LAST).to_bytes(4, "big") + frame[4:]


def as_not_last(frame: bytes) -> bytes:
    return (int.from_bytes(frame[:4], "big") & ~LAST).to_bytes(4, "big") + frame[4:]


@pytest.mark.parametrize(
    "size", [0, 1, FRAME_BYTES - 1, FRAME_BYTES, FRAME_BYTES + 1, len(TWO_AND_A_HALF)]
)
def test_what_was_sealed_is_opened_again(size):
    told = TWO_AND_A_HALF[:size]

    assert opened(sealed(told)) == told


@pytest.mark.parametrize(
    ("size", "frames"),
    [(0, 1), (FRAME_BYTES, 1), (FRAME_BYTES + 1, 2), (len(TWO_AND_A_HALF), 3)],
)
def test_frames_hold_one_mebibyte(size, frames):
    assert len(parts(sealed(TWO_AND_A_HALF[:size]))[1]) == frames


def test_the_page_of_the_format_is_enough_to_open_it():
    front, frames = parts(sealed(TWO_AND_A_HALF))
    page = front[len(MAGIC) + 4 :]
    (recipient,) = json.loads(page)["recipients"]
    ephemeral, key = bytes.fromhex(recipient["ephemeral"]), bytes.fromhex(recipient["key"])
    shared = SECRET.exchange(X25519PublicKey.from_public_bytes(ephemeral))
    wrapping = HKDF(SHA256(), 32, ephemeral + key, b"thawline/backup/1 key").derive(shared)
    file_key = ChaCha20Poly1305(wrapping).decrypt(
        bytes(12), bytes.fromhex(recipient["wrapped"]), b""
    )

    told = b""
    for number, frame in enumerate(frames):
        last = number == len(frames) - 1
        about = sha256(page).digest() + number.to_bytes(8, "big") + bytes([last])
        told += ChaCha20Poly1305(file_key).decrypt(number.to_bytes(12, "big"), frame[4:], about)

    assert front[: len(MAGIC)] == b"thawline/backup/1\n"
    assert told == TWO_AND_A_HALF


@pytest.mark.parametrize(
    ("change", "says"),
    [
        (lambda f: [f[1], f[0], f[2]], "piece 0 was changed, moved or cut"),
        (lambda f: [f[0], f[0], f[2]], "piece 1 was changed"),
        (lambda f: [f[0], f[2]], "piece 1 was changed"),
        (lambda f: [f[0], as_last(f[1])], "piece 1 was changed"),
        (lambda f: [f[0], f[1], as_not_last(f[2])], "piece 2 was changed"),
        (lambda f: [f[0], f[1]], "its end is missing"),
        (lambda f: [f[0], f[1], f[2], f[2]], "added after its end"),
        (lambda f: [f[0], f[1], b"\xff" * 4], "claims 2147483647 bytes"),
    ],
    ids=[
        *("swapped", "doubled", "one dropped", "the end cut off and the last one marked"),
        *("the mark taken off", "the end cut off", "one added", "a size that cannot be"),
    ],
)
def test_no_piece_can_be_moved_dropped_or_added(change, says):
    front, frames = parts(sealed(TWO_AND_A_HALF))

    with pytest.raises(RecordError, match=says):
        opened(front + b"".join(change(frames)))


def test_pieces_of_two_backups_do_not_fit_together():
    front, _ = parts(sealed(TOLD))
    _, others = parts(sealed(TOLD))

    with pytest.raises(RecordError, match="piece 0"):
        opened(front + b"".join(others))


@pytest.mark.parametrize(
    ("front", "says"),
    [
        (MAGIC + (1 << 20).to_bytes(4, "big"), "front page claims"),
        (MAGIC + (2).to_bytes(4, "big") + b"{}", "front page cannot be read"),
        (MAGIC + (9).to_bytes(4, "big") + b"{}", "its end is missing"),
    ],
)
def test_a_front_page_that_makes_no_sense_is_refused(front, says):
    with pytest.raises(RecordError, match=says):
        opened(front)
