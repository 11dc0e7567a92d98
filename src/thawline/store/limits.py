"""
From which temperature on a reading is out: one limit on one side, in thousandths of a degree.

A limit itself is inside: 8.0 °C is in a band that ends at 8, 8.1 °C is not. Both sides are one
sum: how far a reading lies beyond its limit, which is more than zero when it is out.
"""

from dataclasses import dataclass
from decimal import ROUND_CEILING, ROUND_FLOOR, Decimal

import numpy as np
from numpy.typing import NDArray

from thawline.rules.cold import Side
from thawline.rules.protocol import Band

_MC = Decimal(1000)  # thousandths in a degree

Excess = NDArray[np.int64]
"""Thousandths of a degree beyond a limit; zero and less is inside."""


@dataclass(frozen=True, slots=True)
class Limit:
    """The last temperature that is still in, on the way out on one side (above or below)."""

    side: Side
    at_mc: int

    def is_beyond(self, temp_mc: NDArray[np.int32], by_mc: int = 0) -> NDArray[np.bool_]:
        """Say for each temperature whether it lies beyond the limit by more than that."""
        if self.side is Side.ABOVE:
            return temp_mc > self.at_mc + by_mc
        return temp_mc < self.at_mc - by_mc

    def excess(self, temp_mc: NDArray[np.int32]) -> Excess:
        """Return how far each temperature lies beyond the limit, shape (n,)."""
        wide = temp_mc.astype(np.int64)
        return wide - self.at_mc if self.side is Side.ABOVE else self.at_mc - wide


@dataclass(frozen=True, slots=True)
class Limits:
    """The two ends of a band, both inside it."""

    low_mc: int
    high_mc: int

    @property
    def above(self) -> Limit:
        """The end that a warm reading passes."""
        return Limit(Side.ABOVE, self.high_mc)

    @property
    def below(self) -> Limit:
        """The end that a cold reading passes."""
        return Limit(Side.BELOW, self.low_mc)


def limits(band: Band) -> Limits:
    """Return the ends of a protocol's band."""
    return between(band.low_c, band.high_c)


def between(low_c: Decimal, high_c: Decimal) -> Limits:
    """Return a band between two ends, rounded inwards to thousandths of a degree."""
    low = (low_c * _MC).to_integral_value(ROUND_CEILING)
    high = (high_c * _MC).to_integral_value(ROUND_FLOOR)
    return Limits(int(low), int(high))
