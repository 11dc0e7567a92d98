"""
Selection with a promise: which of many keep a limit, and which of those is best.

All are observed side by side, on the same days. Observations are summed up until the sum leaves
a triangle around zero, wide at first and closed at the end; its size is set by the spread of
the first observations and by how often the wrong side may be left by chance. See
docs/background/ranking.md.
"""

import math
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from thawline.base.compiled import Values
from thawline.base.errors import RecordError

Marks = NDArray[np.bool_]


@dataclass(frozen=True, slots=True)
class Sure:
    """
    How sure a selection is, and what is too close to matter.

    Args:
        share: The chance (0 to 1) that everything said of the selection is right.
        close: Differences below this do not count, in the unit of an observation.
        first: Observations by which spreads are judged, before anything is left out.
    """

    share: float
    close: float
    first: int

    def __post_init__(self) -> None:
        if not 1 / 2 <= self.share < 1:
            raise RecordError(f"{self.share:g} sure", advice="from 0.5, below 1: 0.95")
        if not 0 < self.close < 1:
            raise RecordError(
                f"differences of {self.close:g} that do not count", advice="0.02 is usual"
            )
        if self.first < 2:  # noqa: PLR2004  one observation has no spread
            raise RecordError(f"{self.first} first observations", advice="2 or more")


def widening(error: float, first: int) -> float:
    """
    Return how many variances, over the close difference, the triangle begins with: h² / 2.

    Args:
        error: The chance that one sum leaves on the wrong side, at most.
        first: Observations by which its variance was judged.

    Source:
        Kim and Nelson, "A fully sequential procedure for indifference-zone selection in
        simulation", ACM Transactions on Modeling and Computer Simulation 11(3), 2001, with
        c = 1 (formula as in published programs; the paper from memory). It solves
        E exp(-eta X) / 2 = error, X of chi square with first - 1 degrees of freedom.
    """
    eta = (math.pow(2 * error, -2 / (first - 1)) - 1) / 2
    return eta * (first - 1)


def triangle(spread: Values, close: float, wide: float, seen: int) -> Values:
    """
    Return how far from zero a sum must be to be decided; zero when the triangle is closed.

    Args:
        spread: Variances of single observations.
        close: Differences below this do not count.
        wide: As from `widening`.
        seen: Observations summed up so far.
    """
    return np.maximum(wide * spread / close - seen * close / 2, 0)


@dataclass(frozen=True, slots=True, eq=False)
class Checked:
    """
    Which of them keep every limit, as far as is known.

    Args:
        kept: shape (n, limits), the limits that one is known to keep.
        broken: shape (n,), those that are known to break a limit.
    """

    kept: Marks
    broken: Marks

    @property
    def keeps(self) -> Marks:
        """Return those that are known to keep every limit."""
        found: Marks = self.kept.all(axis=1) & ~self.broken
        return found

    @property
    def open(self) -> Marks:
        """Return those of which it is not known yet."""
        found: Marks = ~self.kept.all(axis=1) & ~self.broken
        return found


def nothing_known(count: int, limits: int) -> Checked:
    """Return what is known of so many before the first observation."""
    return Checked(np.zeros((count, limits), bool), np.zeros(count, bool))


def checked(known: Checked, sums: Values, bounds: Values) -> Checked:
    """
    Return what is known once sums have grown; whatever was known stays.

    Args:
        known: What was known before.
        sums: shape (n, limits), observations above the limit are positive.
        bounds: As from `triangle`, of the same shape.

    Source:
        Batur and Kim, "Finding feasible systems in the presence of constraints on multiple
        performance measures", ACM Transactions on Modeling and Computer Simulation 20(3),
        2010 (from memory).
    """
    undecided = ~known.kept & known.open[:, None]
    return Checked(
        kept=known.kept | (undecided & (sums <= -bounds)),
        broken=known.broken | (undecided & (sums >= bounds) & (sums > -bounds)).any(axis=1),
    )


def spreads_of_differences(observed: Values) -> Values:
    """Return the variance of the difference of each two, shape (n, n); observed: (n, first)."""
    covariance = np.atleast_2d(np.cov(observed))
    alone = np.diag(covariance)
    return np.maximum(alone[:, None] + alone[None, :] - 2 * covariance, 0)


def left_in(sums: Values, bounds: Values) -> Marks:
    """
    Return those that none of the others is known to be below.

    Where a triangle is closed, of two with equal sums the first stays.

    Args:
        sums: shape (n,), smaller is better.
        bounds: shape (n, n), as from `triangle`.
    """
    ahead = sums[:, None] - sums[None, :]  # of row over column
    number = np.arange(len(sums))
    later = number[:, None] > number[None, :]
    beaten = (ahead > bounds) | ((ahead == 0) & (bounds == 0) & later)
    found: Marks = ~beaten.any(axis=1)
    return found
