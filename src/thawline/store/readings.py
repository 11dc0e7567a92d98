"""
Readings of one probe: instants and temperatures side by side, as whole numbers.

Thousandths of a degree and milliseconds of UTC, so that a limit is met exactly or not at all.
"""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

Times = NDArray[np.int64]
"""Milliseconds of UTC since 1970 began."""
Temperatures = NDArray[np.int32]
"""Thousandths of a degree Celsius."""


@dataclass(frozen=True, slots=True, eq=False)
class Readings:
    """
    What one probe saw, in the order it was read or written down.

    Args:
        at_ms: shape (n,), milliseconds of UTC.
        temp_mc: shape (n,), thousandths of a degree Celsius.
    """

    at_ms: Times
    temp_mc: Temperatures

    def __len__(self) -> int:
        return len(self.at_ms)


def readings(at_ms: object, temp_mc: object) -> Readings:
    """Return readings from any sequences of whole numbers of the same length."""
    times = np.asarray(at_ms, dtype=np.int64)
    temperatures = np.asarray(temp_mc, dtype=np.int32)
    assert times.shape == temperatures.shape == (len(times),)  # noqa: S101  ours to keep
    return Readings(times, temperatures)
