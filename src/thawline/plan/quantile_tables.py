"""
How long things take, by chance, as a table: one random word gives one duration.

A table holds the quantiles of a law at 4,097 equally likely steps; between two of them is a
straight line. The first and the last step, where the law bends most, have a table of their
own, so that mean and spread are those of the law (see docs/background/clinic-day.md).
"""

import math
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from datetime import timedelta
from typing import Any

import numpy as np
from numpy.typing import NDArray
from scipy.special import ndtr, ndtri

from thawline.base.compiled import Values, compiled, word
from thawline.base.errors import RecordError

STEPS = 4096
POINTS = STEPS + 1
BITS = 12  # of a word that choose the step: 2 to the 12th is 4096
_LEFT = 64 - BITS  # bits of a word that are left for the place within a step
_LEFT_2 = _LEFT - BITS

_STEP = word(_LEFT)
_STEP_2 = word(_LEFT_2)
_WITHIN = word(2**_LEFT - 1)
_WITHIN_2 = word(2**_LEFT_2 - 1)
_FINE = word(STEPS - 1)
_ONE = word(1)
_MIDDLE = word(STEPS - 2)
_LOW, _HIGH = word(POINTS), word(2 * POINTS)
_SCALE, _SCALE_2 = 2.0**-_LEFT, 2.0**-_LEFT_2
_THIRDS = 3
_END = 1 / STEPS**2  # the share of the outermost step of the second level
MOST_VARIATION = 1.5  # a technical limit: beyond it the outermost steps are too coarse


@compiled
def looked_up(table: Values, found: int) -> float:
    """Return the value that a random word stands for."""
    step = found >> _STEP
    if (step - _ONE) & _FINE < _MIDDLE:
        place = float(found & _WITHIN) * _SCALE
    else:
        fine = (found >> _STEP_2) & _FINE
        place = float(found & _WITHIN_2) * _SCALE_2
        step = fine + (_LOW if step < _ONE else _HIGH)
    low = float(table[step])
    return low + (float(table[step + _ONE]) - low) * place


Quantile = Callable[[Values], NDArray[np.floating[Any]]]


@dataclass(frozen=True, slots=True, eq=False)
class Law:
    """
    Durations by chance.

    `table`: shape (3 * 4097,), seconds: quantiles; those of the first step; of the last step.
    """

    table: Values

    def moments(self) -> tuple[float, float]:
        """Return mean and standard deviation, in seconds, of what the table gives, exactly."""
        middle, first, last = self.table.reshape(3, POINTS)
        steps = ((middle[1:-1], 1 / STEPS), (first, _END), (last, _END))
        mean = sum(float((a[1:] + a[:-1]).sum()) * share / 2 for a, share in steps)
        # The mean square along a straight line from a to b is (a² + ab + b²) / 3.
        squares = [
            float((a[1:] ** 2 + a[1:] * a[:-1] + a[:-1] ** 2).sum()) * share
            for a, share in ((part - mean, share) for part, share in steps)
        ]
        return mean, math.sqrt(sum(squares) / _THIRDS)


def constant(lasts: timedelta) -> Law:
    """Return the law of what always takes as long."""
    return Law(np.full(3 * POINTS, _seconds(lasts)))


def lognormal(mean: timedelta, variation: float) -> Law:
    """
    Return a lognormal law, the usual one for how long people take at a table.

    Args:
        mean: Of the duration.
        variation: Standard deviation divided by the mean; 0 for a constant.

    Raises:
        RecordError: The mean is not above zero, or the variation is not from 0 to 1.5.
    """
    mean_s = _seconds(mean)
    if not 0 <= variation <= MOST_VARIATION:
        raise RecordError(
            f"a variation of {variation}", advice=f"from 0 to {MOST_VARIATION:g}; 0.5 is usual"
        )
    if not variation:
        return constant(mean)
    sigma = math.sqrt(math.log1p(variation**2))
    shift = math.log(mean_s) - sigma**2 / 2
    z = float(ndtri(_END))
    lowest = mean_s * float(ndtr(z - sigma)) / _END
    highest = mean_s * float(ndtr(z + sigma)) / _END
    law = _two_level(lambda p: np.exp(shift + sigma * ndtri(p)), lowest, highest)
    # Straight lines lie above this curve by some parts in ten thousand; put right in one go.
    table_mean, table_deviation = law.moments()
    return Law(mean_s + (law.table - table_mean) * (variation * mean_s / table_deviation))


def exponential(mean: timedelta) -> Law:
    """Return the law without memory, the one of the textbooks."""
    mean_s = _seconds(mean)
    highest = mean_s * (1 - math.log(_END))
    return _two_level(
        lambda p: -mean_s * np.log1p(-p), -mean_s * math.log1p(-_END) / 2, highest
    )


def normal(mean: timedelta, deviation: timedelta) -> Law:
    """Return the normal law, as for how late people come; a mean below zero is early."""
    middle, spread = mean.total_seconds(), deviation.total_seconds()
    if spread < 0:
        raise RecordError(f"a deviation of {spread:g} s", advice="0 or more")
    if not spread:
        return Law(np.full(3 * POINTS, middle))
    z = float(ndtri(_END))
    beyond = spread * math.exp(-z * z / 2) / math.sqrt(2 * math.pi) / _END
    return _two_level(lambda p: middle + spread * ndtri(p), middle - beyond, middle + beyond)


def measured(durations: Sequence[timedelta]) -> Law:
    """
    Return the law of durations that were measured, with their mean.

    Each stands for its share of the people; between two of them is a straight line, so the
    spread is a little below the one of the list.

    Raises:
        RecordError: There are none, or one is not above zero.
    """
    if not durations:
        raise RecordError("no durations were measured", advice="take a law from elsewhere")
    ordered = np.sort([_seconds(lasts) for lasts in durations])
    places = (np.arange(len(ordered)) + 0.5) / len(ordered)  # the middle of each one's share
    return _two_level(
        lambda p: np.interp(p, places, ordered), float(ordered[0]), float(ordered[-1])
    )


def later(law: Law, by: timedelta) -> Law:
    """Return the law of everything so much later; below zero is earlier."""
    return Law(law.table + by.total_seconds())


def _seconds(lasts: timedelta) -> float:
    """Return a duration in seconds; raise unless it is above zero."""
    if lasts <= timedelta(0):
        raise RecordError(f"takes {lasts.total_seconds():g} s", advice="write more than 0")
    return lasts.total_seconds()


def _two_level(quantile: Quantile, lowest: float, highest: float) -> Law:
    """
    Return the table of a law.

    Its two outer points are set so that the outermost shares have the mean that they should.

    Args:
        quantile: The value below which a share of all lies, for shares above 0 and below 1.
        lowest: The mean of the lowest 1 in 4096 squared.
        highest: The mean of the highest.
    """
    middle = quantile(np.arange(1, STEPS) / STEPS)
    first = quantile(np.arange(1, POINTS, dtype=np.float64) * _END)
    last = quantile(1 - np.arange(STEPS, 0, -1, dtype=np.float64) * _END)
    least, most = 2 * lowest - first[0], 2 * highest - last[-1]
    parts = ([least], middle, [most], [least], first, last, [most])
    return Law(np.concatenate(parts))
