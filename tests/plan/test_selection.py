"""
The constants and triangles of the selection, against the integral that defines them.

Source of the definition: Kim and Nelson, ACM TOMACS 11(3), 2001 (from memory): a sum with the
drift that counts leaves its triangle on the wrong side with chance E exp(-eta X) / 2 at most, X
of chi square. The integral is taken numerically with SciPy and with mpmath, two independent
ways.
"""

import math
from pathlib import Path

import mpmath
import numpy as np
import pytest
from scipy.integrate import quad
from scipy.stats import chi2

from thawline.base.errors import RecordError
from thawline.plan.selection import (
    Sure,
    checked,
    left_in,
    nothing_known,
    spreads_of_differences,
    triangle,
    widening,
)

PAGE = Path(__file__).parents[2] / "docs" / "background" / "ranking.md"
ERRORS = (0.05, 0.01, 0.001, 0.0001, 0.000001)


@pytest.mark.parametrize(("error", "first"), [(0.05, 10), (0.01, 20), (1e-6, 40), (0.025, 2)])
def test_the_constant_solves_the_integral_that_defines_it(error, first):
    eta = widening(error, first) / (first - 1)

    wrong, _ = quad(lambda x: math.exp(-eta * x) * chi2.pdf(x, first - 1) / 2, 0, math.inf)

    assert wrong == pytest.approx(error, rel=1e-5)


def integrated(wide, first):
    """Return E exp(-eta X) / 2 with eta = wide / (first - 1), term by term by mpmath."""
    degrees = mpmath.mpf(first - 1)
    eta = wide / degrees
    scale = mpmath.gamma(degrees / 2) * mpmath.mpf(2) ** (degrees / 2)
    hump = degrees / (1 + 2 * eta)  # parts of the range; where they lie changes nothing

    def term(x):
        return mpmath.exp(-eta * x) * x ** (degrees / 2 - 1) * mpmath.exp(-x / 2) / scale

    return mpmath.quad(term, [0, hump, 4 * hump, 20 * hump, mpmath.inf]) / 2


@pytest.mark.parametrize(
    ("first", "printed"),
    [
        (5, (4.325, 12.142, 42.721, 139.421, 1412.214)),
        (10, (3.006, 6.234, 13.405, 25.368, 78.609)),
        (20, (2.606, 4.840, 8.774, 13.786, 28.311)),
        (40, (2.444, 4.332, 7.319, 10.680, 18.720)),
    ],
)
def test_the_printed_table_is_that_of_the_integral_and_of_the_program(first, printed):
    """The table of docs/background/ranking.md; made by mpmath's numerical integration."""
    half = mpmath.mpf("0.0005")

    for error, wide in zip(ERRORS, printed, strict=True):
        assert integrated(wide + half, first) < error < integrated(wide - half, first)
        assert widening(error, first) == pytest.approx(wide, abs=0.0005)
    row = " | ".join(f"{wide:.3f}" for wide in printed)
    assert f"| {first} | {row} |" in PAGE.read_text()


def test_with_a_spread_that_is_known_the_constant_is_a_logarithm():
    """-ln(2 error), as any table of logarithms has it: ln 10 = 2.303, ln 50 = 3.912."""
    known = (2.303, 3.912, 6.215, 8.517, 13.122)

    found = [widening(error, 4_000_000) for error in ERRORS]

    assert found == pytest.approx(known, abs=0.0005)


def test_the_constant_by_hand():
    # error 1/32, three first observations: (1/16)^(-1) = 16, eta = 7.5, times two: 15.
    assert widening(1 / 32, 3) == pytest.approx(15)


def test_a_sum_with_the_drift_that_counts_leaves_wrongly_as_seldom_as_promised():
    # Known spread is the limit of many first observations: exp(-2 a l) / 2 with a = wide s² / d
    # and l = d / 2, so exp(-wide) / 2 = 0.05. Simulated walks, 4,000, seed 1.
    wide, close = -math.log(0.1), 0.1
    steps = np.random.default_rng(1).normal(close, 1.0, (4000, 1200)).cumsum(axis=1)
    seen = np.arange(1, 1201)
    bounds = np.array([triangle(np.array([1.0]), close, wide, int(n))[0] for n in seen])
    below, above = steps <= -bounds, steps >= bounds
    first_below = np.where(below.any(axis=1), below.argmax(axis=1), 1200)
    first_above = np.where(above.any(axis=1), above.argmax(axis=1), 1200)

    wrong = float((first_below < first_above).mean())

    assert 0.02 < wrong <= 0.05 + 3 * math.sqrt(0.05 * 0.95 / 4000)


def test_the_triangle_closes_when_enough_is_seen():
    # 15 variances of 0.04 over 0.1 make 6; each observation takes off half of 0.1.
    spread = np.array([0.04])

    assert triangle(spread, 0.1, 15, 20).tolist() == pytest.approx([5.0])
    assert triangle(spread, 0.1, 15, 120).tolist() == [0.0]


def test_a_limit_is_kept_or_broken_where_the_sum_leaves_the_triangle():
    bounds = np.full((3, 2), 1.0)
    sums = np.array([[-1.0, -2.0], [-1.0, 1.0], [-0.5, -2.0]])

    found = checked(nothing_known(3, 2), sums, bounds)

    assert found.keeps.tolist() == [True, False, False]
    assert found.broken.tolist() == [False, True, False]
    assert found.open.tolist() == [False, False, True]


def test_what_is_known_once_stays_known():
    bounds = np.full((1, 2), 1.0)
    before = checked(nothing_known(1, 2), np.array([[-1.0, 0.0]]), bounds)

    after = checked(before, np.array([[5.0, -1.0]]), bounds)

    assert after.keeps.tolist() == [True]


def test_a_sum_at_a_closed_triangle_keeps_the_limit():
    found = checked(nothing_known(1, 1), np.zeros((1, 1)), np.zeros((1, 1)))

    assert found.keeps.tolist() == [True]


def test_the_spread_of_a_difference_is_that_of_paired_days():
    observed = np.random.default_rng(2).normal(size=(3, 30))

    found = spreads_of_differences(observed)

    assert found[0, 2] == pytest.approx(np.var(observed[0] - observed[2], ddof=1))
    assert found[1, 1] == 0


def test_who_is_ahead_by_more_than_the_triangle_is_left_out():
    bounds = np.full((3, 3), 1.0)

    assert left_in(np.array([0.0, 1.0, 1.5]), bounds).tolist() == [True, True, False]


def test_of_two_equal_ones_the_first_stays_when_nothing_more_can_tell():
    assert left_in(np.zeros(3), np.zeros((3, 3))).tolist() == [True, False, False]


@pytest.mark.parametrize(
    ("share", "close", "first", "says"),
    [(1, 0.02, 10, "1 sure"), (0.4, 0.02, 10, "0.4 sure"), (0.9, 0, 10, "differences of 0"),
     (0.9, 1, 10, "differences of 1"), (0.9, 0.02, 1, "1 first")],
)  # fmt: skip
def test_what_cannot_be_promised_is_refused(share, close, first, says):
    with pytest.raises(RecordError, match=says):
        Sure(share, close, first)
