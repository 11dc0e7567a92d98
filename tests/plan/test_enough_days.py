"""
What is enough on a share of days: ranks by a printed table, and how often the range holds.

Ranks of the 95 % interval of a median, as in any book of rank methods (Conover, table of the
binomial; from memory): of 10 values the 2nd and 9th, of 20 the 6th and 15th, of 30 the 10th
and 21st.
"""

import math

import numpy as np
import pytest

from thawline.plan.enough_days import enough_on


@pytest.mark.parametrize(("days", "low", "high"), [(10, 2, 9), (20, 6, 15), (30, 10, 21)])
def test_the_range_of_a_median_is_that_of_the_printed_ranks(days, low, high):
    found = enough_on(np.arange(days, 0, -1, dtype=float), 0.5)

    assert (found.low, found.high) == (low, high)


def test_so_few_days_that_the_highest_may_be_too_low_have_no_upper_end():
    """By hand: the highest of n days is too low with chance 0.99^n, 0.134 for 200 of them."""
    days = np.arange(1.0, 201.0)

    assert enough_on(days, 0.99).high is None
    assert enough_on(np.arange(1.0, 501.0), 0.99).high == 500


def test_what_is_enough_on_99_of_100_days_is_passed_on_the_last_one():
    assert enough_on(np.arange(1.0, 101.0), 0.99).value == 100
    assert enough_on(np.array([3.0]), 0.99).value == 3


def test_the_range_holds_the_truth_on_95_of_100_runs():
    """1,000 runs of 600 exponential days, seed 4; the true value is -ln 0.05, of any table."""
    dice, truth = np.random.default_rng(4), 2.99573
    runs = [enough_on(dice.exponential(size=600), 0.95) for _ in range(1000)]
    held = sum(each.low <= truth <= (each.high or math.inf) for each in runs)

    assert held >= 950 - 3 * math.sqrt(1000 * 0.95 * 0.05)
    assert held < 1000
