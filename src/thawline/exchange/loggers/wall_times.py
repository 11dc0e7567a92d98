"""
Local times of a whole file into instants, on the nights when clocks change too.

A time that the clocks skip is no instant. An hour that comes twice is told apart by the order
of the rows where both passes are in the file and the second goes on where the first ended; else
the times in it are not known. Nothing is chosen.
"""

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import timedelta, timezone
from zoneinfo import ZoneInfo

import numpy as np
from numpy.typing import NDArray

from thawline.base.instants import (
    ClockChange,
    Instant,
    clock_changes,
    from_ms,
    to_ms,
    utc_offset,
)

_AROUND = timedelta(days=2)  # an offset is less than a day
_MS = timedelta(milliseconds=1)
_REGULAR = 1.5  # times the interval: what is longer is a gap; coldchain check values, 7.1

Milliseconds = NDArray[np.int64]
Mask = NDArray[np.bool_]


@dataclass(frozen=True, slots=True, eq=False)
class Placed:
    """
    Local times as instants.

    Args:
        at_ms: shape (n,), milliseconds of UTC; without meaning where a mask is set.
        skipped: shape (n,), the clocks skip that time.
        unclear: shape (n,), the time comes twice and the rows do not tell which it is.
    """

    at_ms: Milliseconds
    skipped: Mask
    unclear: Mask


def placed(local_ms: Milliseconds, zone: ZoneInfo | timezone) -> Placed:
    """
    Return the instants of local times, in the order of the file.

    Args:
        local_ms: shape (n,), milliseconds since 1970 began on the place's own clocks.
        zone: Of the place.
    """
    nothing = np.zeros(len(local_ms), dtype=np.bool_)
    if not len(local_ms):
        return Placed(local_ms, nothing, nothing)
    lo = Instant(from_ms(int(local_ms.min())) - _AROUND)
    hi = Instant(from_ms(int(local_ms.max())) + _AROUND)
    changes = list(clock_changes(lo, hi, zone))
    offsets = np.array([_ms(utc_offset(lo, zone)), *(_ms(c.after) for c in changes)])
    ends = np.array([_window(change)[1] for change in changes], dtype=np.int64)
    at_ms = local_ms - offsets[np.searchsorted(ends, local_ms, side="right")]
    skipped, unclear = nothing, nothing.copy()
    for change in changes:
        start, end = _window(change)
        inside = (start <= local_ms) & (local_ms < end)
        if change.after > change.before:
            skipped = skipped | inside
        elif inside.any():
            _tell_passes(local_ms, inside, end - start, at_ms, unclear)
    return Placed(at_ms, skipped, unclear)


def _window(change: ClockChange) -> tuple[int, int]:
    """Return between which local times the clocks skip or repeat, in milliseconds."""
    at = to_ms(change.at)
    ends = (at + _ms(change.before), at + _ms(change.after))
    return min(ends), max(ends)


def _ms(length: timedelta) -> int:
    return length // _MS


def _tell_passes(
    local_ms: Milliseconds, inside: Mask, shift: int, at_ms: Milliseconds, unclear: Mask
) -> None:
    """Put the second pass of an hour that comes twice later, or mark what cannot be told."""
    steps = np.diff(local_ms)
    backwards = np.count_nonzero(steps < 0) > np.count_nonzero(steps > 0)
    usual = int(np.median(np.abs(steps[steps != 0]))) if (steps != 0).any() else 0
    for run in _runs(np.flatnonzero(inside)):
        rows = run[::-1] if backwards else run
        split = _split(local_ms[rows], shift, usual)
        if split is None:
            unclear[run] = True
        else:
            at_ms[rows[split:]] += shift


def _runs(places: NDArray[np.intp]) -> Iterator[NDArray[np.intp]]:
    """Yield the runs of rows that follow each other."""
    breaks = np.flatnonzero(np.diff(places) > 1) + 1
    yield from np.split(places, breaks)


def _split(times: Milliseconds, shift: int, usual: int) -> int | None:
    """
    Return where the second pass begins in a run of rows; None when that cannot be told.

    Once, and only once, the next row must be an interval later if its clock was set back
    between the two.
    """
    steps = np.diff(times)
    if np.count_nonzero(steps < 0) > 1:
        return None
    over_the_change = steps + shift
    places = np.flatnonzero(
        (steps <= 0) & (over_the_change > 0) & (over_the_change <= usual * _REGULAR)
    )
    return int(places[0]) + 1 if len(places) == 1 else None
