"""
Looking at a count only now and then: each look tests once, and together they keep alpha.

Counts are whole numbers, so the chance of a signal by chance moves in steps; the critical
value is the least log-likelihood ratio that keeps it at or below alpha, and the chance that
is really attained is always said beside it.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise

import numpy as np
from scipy.special import gammaln, pdtrik, xlogy

from thawline.base.errors import RecordError
from thawline.report.sequential import log_likelihood_ratio

_RARER_THAN = 1e-12  # counts beyond this upper tail at the last look are not candidates


@dataclass(frozen=True, slots=True)
class Boundary:
    """A signal is a log-likelihood ratio at or above `critical`, from `min_cases` on."""

    critical: float
    attained_alpha: float


def boundary(expected: Sequence[float], alpha: float, min_cases: int = 1) -> Boundary:
    """
    Return the least critical value that keeps alpha over all looks.

    Args:
        expected: Events expected by each look, growing.
        alpha: The chance of any signal by chance alone that is accepted.
        min_cases: Fewer cases never signal.

    Raises:
        RecordError: The looks do not grow from above 0, or alpha is no chance.
    """
    if not expected or expected[0] <= 0 or any(b <= a for a, b in pairwise(expected)):
        raise RecordError(
            f"looks at {list(expected)} expected",
            advice="from above 0, each more than the last",
        )
    if not 0 < alpha < 1:
        raise RecordError(f"alpha {alpha}", advice="between 0 and 1, as in 0.05")
    candidates = _candidates(expected, min_cases)
    low, high = 0, len(candidates) - 1
    while low < high:
        middle = (low + high) // 2
        if chance_over_looks(expected, candidates[middle], min_cases) <= alpha:
            high = middle
        else:
            low = middle + 1
    critical = candidates[low]
    return Boundary(critical, chance_over_looks(expected, critical, min_cases))


def chance_over_looks(
    expected: Sequence[float], critical: float, min_cases: int = 1, rate_ratio: float = 1.0
) -> float:
    """Return the chance that any look signals when events come at the rate ratio."""
    chances, before = np.ones(1), 0.0
    for mean in expected:
        first = _first_signal(mean, critical, min_cases)
        count = np.arange(first)
        grown = rate_ratio * (mean - before)
        steps = np.exp(xlogy(count, grown) - grown - gammaln(count + 1))
        chances, before = np.convolve(chances, steps)[:first], mean
    return 1 - float(chances.sum())


def _first_signal(mean: float, critical: float, min_cases: int) -> int:
    """Return the least count that signals at a look."""
    count = max(min_cases, int(mean) + 1)
    while log_likelihood_ratio(count, mean) < critical:
        count += 1
    return count


def _candidates(expected: Sequence[float], min_cases: int) -> list[float]:
    """Return the ratios that a look can have, ascending; the last signals hardly ever."""
    most = int(pdtrik(1 - _RARER_THAN, expected[-1])) + min_cases + 1
    ratios = {
        log_likelihood_ratio(count, mean)
        for mean in expected
        for count in range(max(min_cases, int(mean) + 1), most + 1)
    }
    return sorted(ratios)
