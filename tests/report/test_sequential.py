"""Watching a count all along: against simulation and plain sums, figures made up."""

import math

import numpy as np
import pytest

from thawline.base.errors import RecordError
from thawline.report.sequential import (
    Plan,
    chance_of_signal,
    critical_value,
    log_likelihood_ratio,
    prospect,
)


def test_the_ratio_is_nothing_at_or_below_what_was_expected():
    assert log_likelihood_ratio(2, 2.0) == 0.0
    assert log_likelihood_ratio(0, 3.0) == 0.0
    assert log_likelihood_ratio(4, 2.0) == pytest.approx(4 * math.log(2) - 2)


def test_by_hand_with_room_for_one_event():
    """No signal: none while 0.01 are expected, then at most one until 0.02 are."""
    critical = log_likelihood_ratio(1, 0.01)

    chance = chance_of_signal(Plan(horizon=0.02, min_cases=1, alpha=0.05), critical)

    assert chance == pytest.approx(1 - math.exp(-0.02) * (1 + 0.01))


def _simulated(plan, critical, rate_ratio, runs, seed):
    """Play event times one after the other; return whether and when each run signals."""
    dice = np.random.default_rng(seed)
    stops, signals = np.full(runs, plan.horizon), np.zeros(runs, dtype=bool)
    for run in range(runs):
        at, seen = 0.0, 0
        while (at := at + dice.exponential(1 / rate_ratio)) < plan.horizon:
            seen += 1
            if seen >= plan.min_cases and log_likelihood_ratio(seen, at) >= critical > 0:
                stops[run], signals[run] = at, True
                break
    return stops, signals


@pytest.mark.parametrize("rate_ratio", [1.0, 2.5])
def test_what_is_promised_is_what_happens_in_simulated_campaigns(rate_ratio):
    plan, runs = Plan(horizon=6.0, min_cases=3, alpha=0.05), 8000
    critical = critical_value(plan)
    told = prospect(plan, critical, rate_ratio)

    stops, signals = _simulated(plan, critical, rate_ratio, runs, seed=28)

    z_power = (signals.mean() - told.power) / math.sqrt(told.power * (1 - told.power) / runs)
    z_length = (stops.mean() - told.expected_length) / (stops.std() / math.sqrt(runs))
    assert abs(z_power) < 4
    assert abs(z_length) < 4


def test_the_chance_at_the_critical_value_is_the_one_asked_for():
    plan = Plan(horizon=7.0, min_cases=2, alpha=0.01)

    assert chance_of_signal(plan, critical_value(plan)) == pytest.approx(0.01, abs=1e-10)


def test_more_cases_asked_for_than_chance_brings_is_said():
    with pytest.raises(RecordError, match="rarer than"):
        critical_value(Plan(horizon=0.05, min_cases=4, alpha=0.05))


@pytest.mark.parametrize(
    ("horizon", "min_cases", "alpha"),
    [
        (0, 1, 0.05),
        (6000, 1, 0.05),
        (5, 0, 0.05),
        (5, 1, 0),
        (5, 1, 1),
        (float("nan"), 1, 0.05),
    ],
)
def test_plans_that_cannot_be_are_refused(horizon, min_cases, alpha):
    with pytest.raises(RecordError):
        Plan(horizon, min_cases, alpha)


def test_a_rate_ratio_must_be_above_zero():
    with pytest.raises(RecordError, match="rate ratio"):
        prospect(Plan(5, 1, 0.05), 3.0, 0)
