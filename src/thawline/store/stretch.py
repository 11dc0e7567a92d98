"""
The last stretch of a record in which the temperature went one way, rising or falling.

It begins at the last turning point that is more than the noise and the rounding of the
readings, and never before the last gap.
"""

from dataclasses import dataclass
from enum import IntEnum

import numpy as np
from numpy.typing import NDArray

from thawline.store.readings import Readings, Temperatures, readings
from thawline.store.tidy import is_gap, usual_interval

NOISE_TIMES = 4  # a move of so many times the noise is a move (a convention of this project)
TAIL = 12  # readings at the end that tell the noise; a cycle before them would add to it
STEPS = 2  # likewise, and of so many steps of the display
# The standard deviation of normal noise is 1.4826 times the median distance (common practice);
# a second difference has six times the variance of a reading.
_TO_DEVIATION = 1.4826 / np.sqrt(6)


class Way(IntEnum):
    """Which way the temperature goes."""

    FALLS = -1
    HOLDS = 0
    RISES = 1


@dataclass(frozen=True, slots=True, eq=False)
class Stretch:
    """
    The last stretch of a record, and what the record says about its readings.

    Args:
        way: Which way it goes; where it holds, the stretch is all since the last gap.
        readings: Its own readings, in order of time.
        before: Those before it, back to the last gap.
        step_mc: The steps in which the display counts, in thousandths of a degree.
        move_mc: How far the temperature must go before it is called a move.
    """

    way: Way
    readings: Readings
    before: Readings
    step_mc: int
    move_mc: float


def last_stretch(record: Readings) -> Stretch:
    """Return the last stretch of a record that is in order of time and has a reading."""
    since = _since_gap(record)
    step = _step(record.temp_mc)
    move = max(STEPS * step, NOISE_TIMES * _noise(since.temp_mc[-TAIL:]))
    way, start = _turn(since.temp_mc, move)
    return Stretch(way, _part(since, start, None), _part(since, 0, start), step, move)


def _part(record: Readings, start: int, end: int | None) -> Readings:
    return readings(record.at_ms[start:end], record.temp_mc[start:end])


def _since_gap(record: Readings) -> Readings:
    interval = usual_interval(record.at_ms)
    if interval is None:
        return record
    gaps = np.flatnonzero(is_gap(np.diff(record.at_ms), interval))
    return _part(record, int(gaps[-1]) + 1 if len(gaps) else 0, None)


def _step(temp_mc: Temperatures) -> int:
    """Return the largest step that readings are whole numbers of apart; 0: all are equal."""
    return int(np.gcd.reduce(np.diff(np.unique(temp_mc)), initial=0))


def _noise(temp_mc: Temperatures) -> float:
    """Return the standard deviation of the noise, from second differences."""
    bends: NDArray[np.int64] = np.abs(np.diff(temp_mc.astype(np.int64), 2))
    return float(_TO_DEVIATION * np.median(bends)) if len(bends) else 0.0


def _turn(temp_mc: Temperatures, move: float) -> tuple[Way, int]:
    """Return which way it goes at the end, and the number of the reading where that began."""
    from_last = int(temp_mc[-1]) - temp_mc.astype(np.int64)
    moved = np.flatnonzero(np.abs(from_last) >= max(move, 1))
    if not len(moved):
        return Way.HOLDS, 0
    way = Way(int(np.sign(from_last[moved[-1]])))
    height = way * temp_mc.astype(np.int64)
    lowest = start = len(height) - 1
    for number in range(len(height) - 1, -1, -1):
        if height[number] < height[lowest]:
            lowest = start = number
        elif height[number] > height[lowest] + move and number < moved[-1]:
            break
    return way, start
