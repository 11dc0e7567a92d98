"""
What is enough on so large a share of days, by simulated ones, and how sure that is.

Nothing is taken of how the days are spread: only their order counts. See
docs/background/staffing.md.
"""

from dataclasses import dataclass

import numpy as np
from scipy.stats import binom

from thawline.base.compiled import Values
from thawline.plan.service_times import LEVEL


@dataclass(frozen=True, slots=True)
class Enough:
    """
    A figure that is enough on a share of the days.

    `low`, `high`: the range in which it lies on 95 of 100 such runs; `high` None: so few days
    have no upper end, the highest of them may be too low.
    """

    value: float
    low: float
    high: float | None


def enough_on(daily: Values, share: float) -> Enough:
    """
    Return what is enough on so large a share of the days, from the figure of each.

    Source: the distribution-free interval of a quantile by two ranks, as in W. J. Conover,
        "Practical Nonparametric Statistics" (from memory); the tests hold it by its printed
        ranks for the median.
    """
    ordered = np.sort(daily)
    days = len(ordered)
    low, high = (int(binom.ppf(end, days, share)) for end in ((1 - LEVEL) / 2, (1 + LEVEL) / 2))
    return Enough(
        value=float(ordered[min(int(share * days), days - 1)]),
        low=float(ordered[max(low, 1) - 1]),
        high=float(ordered[high]) if high < days else None,
    )
