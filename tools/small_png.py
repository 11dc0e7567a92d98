"""A screenshot as a small file: a palette of a few colours, which a page of text has anyway."""

import struct
import zlib

import numpy as np
from numpy.typing import NDArray

COLOURS = 64
_SIGNATURE = b"\x89PNG\r\n\x1a\n"
_DEPTH_BITS = 8
_WITH_PALETTE = 3


def small_png(pixels: NDArray[np.uint8]) -> bytes:
    """
    Return a PNG of the most frequent colours; each other pixel takes the nearest of them.

    Args:
        pixels: shape (height, width, 3), red, green and blue.

    Source:
        ISO/IEC 15948:2004 (PNG), 11.2: the chunks IHDR, PLTE, IDAT and IEND; from memory.
    """
    height, width, _ = pixels.shape
    palette, places = _few(pixels.reshape(-1, 3).astype(np.int64))
    rows = np.zeros((height, width + 1), dtype=np.uint8)  # each row begins with filter 0
    rows[:, 1:] = places.reshape(height, width)
    head = struct.pack(">IIBBBBB", width, height, _DEPTH_BITS, _WITH_PALETTE, 0, 0, 0)
    chunks = [
        _chunk(b"IHDR", head),
        _chunk(b"PLTE", palette.astype(np.uint8).tobytes()),
        _chunk(b"IDAT", zlib.compress(rows.tobytes(), zlib.Z_BEST_COMPRESSION)),
        _chunk(b"IEND", b""),
    ]
    return _SIGNATURE + b"".join(chunks)


def _few(flat: NDArray[np.int64]) -> tuple[NDArray[np.int64], NDArray[np.int64]]:
    """Return the palette, shape (n, 3), and for each pixel its place in it."""
    packed = (flat[:, 0] << 16) | (flat[:, 1] << 8) | flat[:, 2]
    found, places, counts = np.unique(packed, return_inverse=True, return_counts=True)
    colours = np.stack([found >> 16, (found >> 8) & 255, found & 255], axis=1)
    palette = colours[np.argsort(-counts, kind="stable")[:COLOURS]]
    far = ((colours[:, None, :] - palette[None, :, :]) ** 2).sum(axis=2)
    return palette, far.argmin(axis=1)[places.ravel()]


def _chunk(name: bytes, data: bytes) -> bytes:
    return (
        struct.pack(">I", len(data)) + name + data + struct.pack(">I", zlib.crc32(name + data))
    )
