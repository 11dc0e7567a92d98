"""
Readings as they are kept: one piece for each file, vouched for by the digest of its bytes.

A piece holds each pair of instant and temperature once, in the order of time and then of
temperature. Two values at one instant are both kept: which of them is right is not decided
here.
"""

from collections.abc import Iterable
from hashlib import sha256

import numpy as np

from thawline.base.errors import RecordError
from thawline.store.readings import Readings, readings

_ROW = np.dtype([("at_ms", ">i8"), ("temp_mc", ">i4")])
"""Milliseconds of UTC in 8 bytes, then thousandths of a degree in 4, big end first, signed."""

NONE_YET = readings([], [])


def each_once(found: Readings) -> Readings:
    """Return the readings in the order of a piece, without a second one that is the same."""
    order = np.lexsort((found.temp_mc, found.at_ms))
    at_ms, temp_mc = found.at_ms[order], found.temp_mc[order]
    new = np.ones(len(order), dtype=bool)
    new[1:] = (at_ms[1:] != at_ms[:-1]) | (temp_mc[1:] != temp_mc[:-1])
    return Readings(at_ms[new], temp_mc[new])


def joined(parts: Iterable[Readings]) -> Readings:
    """Return the readings of several pieces as one, each once."""
    every = [NONE_YET, *parts]
    at_ms = np.concatenate([part.at_ms for part in every])
    return each_once(Readings(at_ms, np.concatenate([part.temp_mc for part in every])))


def count_new(found: Readings, kept: Readings) -> int:
    """Return how many of the readings, each once, are not among those that are kept."""
    return len(joined([found, kept])) - len(each_once(kept))


def between(found: Readings, from_ms: int, to_ms: int) -> Readings:
    """Return the readings of a time, both ends included."""
    inside = (found.at_ms >= from_ms) & (found.at_ms <= to_ms)
    return Readings(found.at_ms[inside], found.temp_mc[inside])


def packed(found: Readings) -> bytes:
    """Return the bytes of a piece; `found` has each reading once and in order."""
    rows = np.empty(len(found), dtype=_ROW)
    rows["at_ms"], rows["temp_mc"] = found.at_ms, found.temp_mc
    return rows.tobytes()


def unpacked(kept: bytes) -> Readings:
    """
    Return the readings of a piece.

    Raises:
        RecordError: These are not whole readings.
    """
    if len(kept) % _ROW.itemsize:
        raise RecordError(f"{len(kept)} bytes are no whole readings", advice="thawline doctor")
    rows = np.frombuffer(kept, dtype=_ROW)
    return readings(rows["at_ms"], rows["temp_mc"])


def digest_of(kept: bytes) -> str:
    """Return what an entry vouches for a piece with: its SHA-256 in hexadecimal."""
    return sha256(kept).hexdigest()
