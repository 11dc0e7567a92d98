"""
Watching a count while doses are given: is it more than was expected? Looked at all along.

The exact Poisson sequential probability ratio test with the maximised likelihood (MaxSPRT).
The log-likelihood ratio of k events where mu were expected is mu - k + k ln(k / mu) above mu
and 0 below. A signal is raised at the first event, from `min_cases` on, at which it reaches
the critical value. Surveillance ends when `horizon` events were expected.

How likely a signal is follows exactly from a chain over the events: event k signals when it
comes before the expected number has grown to

    tau_k = -k W0(-exp(-1 - c / k)),

so only the counts that are still below at each tau_k are carried on.
Source: Kulldorff, Davis, Kolczak, Lewis, Lieu, Platt, Sequential Analysis 30 (2011) 58-78;
identified from memory, its printed critical values are checked to the last digit.
"""

import math
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray
from scipy.optimize import brentq
from scipy.special import gammaln, lambertw, pdtrc, xlogy

from thawline.base.errors import RecordError

_MOST_HORIZON = 5_000.0  # a technical limit: the chain carries one number an event
_LARGEST_CRITICAL = 40.0  # beyond it no double tells the chance of a signal from none
_SMALLEST_CRITICAL = 1e-9
_PRECISION = 1e-12

Chances = NDArray[np.float64]


@dataclass(frozen=True, slots=True)
class Plan:
    """A surveillance as it was laid down before: how long, from how many cases, how sure."""

    horizon: float  # events expected at its end
    min_cases: int
    alpha: float

    def __post_init__(self) -> None:
        if not 0 < self.horizon <= _MOST_HORIZON:
            raise RecordError(
                f"horizon {self.horizon}", advice=f"above 0, up to {_MOST_HORIZON:g} expected"
            )
        if self.min_cases < 1:
            raise RecordError(f"min cases {self.min_cases}", advice="1 or more")
        if not 0 < self.alpha < 1:
            raise RecordError(f"alpha {self.alpha}", advice="between 0 and 1, as in 0.05")


@dataclass(frozen=True, slots=True)
class Prospect:
    """
    What a surveillance will do when events come at a rate ratio.

    `power`: chance of a signal. `expected_length`: events expected under no effect until it
    stops, on average. `time_to_signal`: the same of those that signal; None without any.
    """

    power: float
    expected_length: float
    time_to_signal: float | None


def log_likelihood_ratio(seen: int, expected: float) -> float:
    """Return the maximised log-likelihood ratio of a count; 0 where it is not above."""
    if seen <= expected:
        return 0.0
    return expected - seen + seen * math.log(seen / expected)


def critical_value(plan: Plan) -> float:
    """
    Return the critical value at which a signal by chance has just the chance alpha.

    Raises:
        RecordError: So many cases are asked for that chance alone stays below alpha anyway.
    """
    if chance_of_signal(plan, _SMALLEST_CRITICAL) < plan.alpha:
        raise RecordError(
            f"{plan.min_cases} cases by chance are rarer than {plan.alpha} within "
            f"{plan.horizon} expected",
            advice="ask for fewer cases, or watch for longer",
        )
    found = brentq(
        lambda critical: chance_of_signal(plan, critical) - plan.alpha,
        _SMALLEST_CRITICAL,
        _LARGEST_CRITICAL,
        xtol=_PRECISION,
    )
    return float(found)


def chance_of_signal(plan: Plan, critical: float, rate_ratio: float = 1.0) -> float:
    """Return the chance of a signal within the horizon when events come at the rate ratio."""
    _check_ratio(rate_ratio)
    chances, now = np.ones(1), 0.0
    for barrier in _barriers(plan, critical):
        chances = np.append(_carried(chances, rate_ratio * (barrier - now)), 0.0)
        now = barrier
    return 1 - float(chances.sum())


def prospect(plan: Plan, critical: float, rate_ratio: float = 1.0) -> Prospect:
    """
    Return what the surveillance will do at a rate ratio.

    Raises:
        RecordError: The rate ratio is not above 0.
    """
    _check_ratio(rate_ratio)
    chances, now, length = np.ones(1), 0.0, 0.0
    for barrier in _barriers(plan, critical):
        length += _time_carried(chances, rate_ratio, barrier - now)
        chances = np.append(_carried(chances, rate_ratio * (barrier - now)), 0.0)
        now = barrier
    silent = float(chances.sum())
    power = 1 - silent
    told = (length - plan.horizon * silent) / power if power > 0 else None
    return Prospect(power, length, told)


def _check_ratio(rate_ratio: float) -> None:
    if not rate_ratio > 0:
        raise RecordError(f"rate ratio {rate_ratio}", advice="above 0; 1 means no effect")


def _barriers(plan: Plan, critical: float) -> list[float]:
    """
    Return the expected numbers at which another count becomes too late to signal.

    The counts below `min_cases` never signal: they are let in at 0. The horizon is last.
    """
    most = plan.min_cases + _ROOM
    while _latest(np.array([most]), critical)[0] < plan.horizon:
        most *= 2
    events = np.arange(plan.min_cases, most + 1)
    latest = _latest(events, critical)
    before = [float(tau) for tau in latest[latest < plan.horizon]]
    return [*([0.0] * (plan.min_cases - 1)), *before, plan.horizon]


_ROOM = 16


def _latest(events: NDArray[np.int64], critical: float) -> Chances:
    """Return how many may be expected for so many events to be a signal."""
    latest: Chances = -events * lambertw(-np.exp(-1 - critical / events), 0).real
    return latest


def _carried(chances: Chances, expected: float) -> Chances:
    """Return the chances of the counts after a stretch; counts beyond have signalled."""
    count = np.arange(len(chances))
    steps = np.exp(xlogy(count, expected) - expected - gammaln(count + 1))
    return np.convolve(chances, steps)[: len(chances)]


def _time_carried(chances: Chances, rate: float, stretch: float) -> float:
    """Return the mean time, within a stretch, during which nothing has signalled."""
    room = np.arange(len(chances))  # further events that each count has room for
    one_more = pdtrc(room, rate * stretch) / rate
    return float(chances[::-1] @ np.cumsum(one_more))
