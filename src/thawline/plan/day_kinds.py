"""
Good days and bad days: how the no-show of everybody moves together from day to day.

The share of a day that stays away is a beta variable. A group keeps its own share; on a bad
day the odds of all groups are worse by the same factor. The kinds of day are a fine row of
points with weights, so that everything after is a plain weighted mean; who came so far today
moves the weights (with one group: the beta-binomial rule). See docs/background/demand.md.
"""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from math import sqrt

import numpy as np
from scipy.special import expit, logit
from scipy.stats import beta as beta_share
from scipy.stats import chi2

from thawline.base.errors import RecordError
from thawline.plan.no_show import percent
from thawline.plan.opening_kernel import Numbers

SURE = 0.9
"""How sure to be that the spread is not larger than it is taken to be; our own judgement."""
FEWEST_DAYS = 3
"""Below this many days their spread is taken to be the widest; our own judgement."""
_POINTS = 257  # steps of at most a sixth of a standard deviation; the error is below 1e-9
_LOOK = np.linspace(-30, 30, 6001)  # odds from 1e-13 to 1e13 times those of a middling day
_DEPTH = 40  # weights below exp(-40) of the largest are left out
_STEADY = 1e-6  # a spread below this is none


@dataclass(frozen=True, slots=True)
class DaySpread:
    """The no-show share of a day: its mean, its standard deviation, and who says so."""

    mean: float
    spread: float
    says: str = ""

    def __post_init__(self) -> None:
        if not 0 <= self.mean <= 1:
            raise RecordError(f"no-show share is not between 0 and 1: {self.mean}")
        if not 0 <= self.spread <= widest(self.mean) + _STEADY:
            raise RecordError(
                f"day spread {self.spread} does not go with a no-show of {self.mean}",
                advice=f"at most {widest(self.mean):.3f}, as in 0.03 for 3 points",
            )

    @property
    def beta(self) -> tuple[float, float] | None:
        """Return the two figures of the beta distribution; None when all days are alike."""
        if self.spread < _STEADY:
            return None
        both = self.mean * (1 - self.mean) / self.spread**2 - 1
        return self.mean * both, (1 - self.mean) * both


@dataclass(frozen=True, slots=True)
class Seen:
    """
    People of one group today: how many came, and how many have not come yet.

    `arrived_share`: of those who do come, the share that would be here by now.
    """

    no_show: float
    came: int
    not_yet: int
    arrived_share: float = 1.0


@dataclass(frozen=True, slots=True, eq=False)
class DayKinds:
    """Kinds of day, shape (n,) each: log odds against a middling day, and their weights."""

    offsets: Numbers
    weights: Numbers

    def no_show(self, share: float) -> Numbers:
        """Return the share of a group that stays away on each kind of day."""
        found: Numbers = expit(logit(share) + self.offsets)
        return found

    def mean_no_show(self, share: float) -> float:
        """Return the share of a group that stays away, over all kinds of day."""
        return float(self.weights @ self.no_show(share))


def widest(mean: float) -> float:
    """Return the largest spread that still has at most one hump: a beta of figures from 1."""
    least = min(mean, 1 - mean)
    return sqrt(mean * (1 - mean) / (1 / least + 1)) if least > 0 else 0.0


def learned_spread(days: Sequence[tuple[int, int]]) -> DaySpread | None:
    """
    Return the spread by moments, on the safe side of what so few days can say.

    The variance between days is taken at its upper limit (chi square), less what chance alone
    explains, with the uncertainty of the mean added. A wider spread never thaws less.

    Args:
        days: People booked and people who stayed away, for each earlier day; None without any.
    """
    booked, missed = sum(day[0] for day in days), sum(day[1] for day in days)
    if not booked:
        return None
    mean = missed / booked
    said = f"{missed:,} of {booked:,} bookings on {len(days)} earlier days had no dose that day"
    if len(days) < FEWEST_DAYS:
        return DaySpread(
            mean, widest(mean), f"{said}; too few days to know how days differ: taken as widest"
        )
    shares = [each[1] / each[0] for each in days]
    free = len(days) - 1
    upper = float(np.var(shares, ddof=1) * free / chi2.ppf(1 - SURE, free))
    chance = mean * (1 - mean) * float(np.mean([1 / each[0] for each in days]))
    spread = min(sqrt(max(0.0, upper - chance) + upper / len(days)), widest(mean))
    return DaySpread(
        mean, spread, f"{said}; days differ by {percent(spread)} at most, 9 in 10 sure"
    )


def day_kinds(day: DaySpread, seen: Iterable[Seen] = ()) -> DayKinds:
    """Return the kinds of day, weighted by what was seen of today so far."""
    beta = day.beta
    if beta is None:
        return DayKinds(np.zeros(1), np.ones(1))
    groups = [each for each in seen if each.came or each.not_yet]
    rough = _log_weights(_LOOK, day.mean, beta, groups)
    kept = _LOOK[rough > rough.max() - _DEPTH]
    step = _LOOK[1] - _LOOK[0]
    fine = np.linspace(kept[0] - step, kept[-1] + step, _POINTS)
    weights = _log_weights(fine, day.mean, beta, groups)
    weights = np.exp(weights - weights.max())
    return DayKinds(fine, weights / weights.sum())


def is_unusual(day: DaySpread, today: float) -> bool:
    """Say whether today's no-show share is higher than that of nine days in ten."""
    return day.beta is not None and bool(beta_share.sf(today, *day.beta) < 1 - SURE)


def _log_weights(
    offsets: Numbers, mean: float, beta: tuple[float, float], seen: Sequence[Seen]
) -> Numbers:
    """Return the logarithm of the beta's density by log odds, times the chance of what was."""
    day = logit(mean) + offsets
    found: Numbers = -beta[0] * np.logaddexp(0, -day) - beta[1] * np.logaddexp(0, day)
    for group in seen:
        if not 0 < group.no_show < 1:
            continue
        odds = logit(group.no_show) + offsets
        comes = -np.logaddexp(0, odds)
        stays = (
            np.log1p(-group.arrived_share * np.exp(comes))
            if group.arrived_share < 1
            else (-np.logaddexp(0, -odds))
        )
        found = found + group.came * comes + group.not_yet * stays
    return found
