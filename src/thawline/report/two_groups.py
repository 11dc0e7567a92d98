"""
One lot against the rest, given its share of the doses.

Given all the cases, those of the lot are binomial with that share. Exact; the
mid-p value counts the observed number half. Comparing many lots, see `among_many`.
Source: the conditional test of two Poisson rates (Przyborowski and Wilenski, Biometrika 31,
1940), from memory; the figures it is checked against are exact sums.
"""

from dataclasses import dataclass

from scipy.stats import binom

from thawline.base.errors import RecordError
from thawline.report.intervals import LEVEL, share_range


@dataclass(frozen=True, slots=True)
class Group:
    """Cases among so many doses."""

    cases: int
    doses: int

    def __post_init__(self) -> None:
        if self.doses < 1 or not 0 <= self.cases <= self.doses:
            raise RecordError(
                f"{self.cases} cases of {self.doses} doses",
                advice="cases from 0 up to doses, doses 1 or more",
            )


@dataclass(frozen=True, slots=True)
class Compared:
    """
    A group against the rest.

    `p_one_sided`: chance of so many or more in the group if both had one rate; `p_mid` counts
    this number half. `rate_ratio` and `upper` are None where the rest has no cases;
    everything is None where nobody had any.
    """

    p_one_sided: float | None
    p_mid: float | None
    rate_ratio: float | None
    lower: float | None
    upper: float | None


def compared(group: Group, rest: Group, level: float = LEVEL) -> Compared:
    """Return how the group's rate stands against that of the rest, exactly."""
    cases = group.cases + rest.cases
    if cases == 0:
        return Compared(None, None, None, None, None)
    share = group.doses / (group.doses + rest.doses)
    so_many_or_more = float(binom.sf(group.cases - 1, cases, share))
    just_so_many = float(binom.pmf(group.cases, cases, share))
    lower, upper = share_range(group.cases, cases, level)
    doses = rest.doses / group.doses
    ratio = _odds(group.cases / cases, doses)
    return Compared(
        p_one_sided=so_many_or_more,
        p_mid=so_many_or_more - just_so_many / 2,
        rate_ratio=ratio,
        lower=_odds(lower, doses),
        upper=_odds(upper, doses),
    )


def _odds(share: float, doses: float) -> float | None:
    """Return a share of the cases as a ratio of rates; None where the rest has none."""
    return None if share >= 1 else share / (1 - share) * doses
