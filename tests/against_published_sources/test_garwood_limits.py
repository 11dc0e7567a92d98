"""
Exact limits of a Poisson count: Garwood, Biometrika 28 (1936), values as tabulated since.

Counts 0, 10 and 25 read on 2026-11-25 in public calculators and manuals of statistics packages;
the others computed in the table of check values. SMR 137 / 24.19893: data of a public R manual.
Benjamini and Hochberg 1995: their fifteen p-values as quoted in SciPy's documentation.
"""

import pytest

from thawline.report.among_many import adjusted
from thawline.report.intervals import against, count_range

BH_1995 = (
    0.0001, 0.0004, 0.0019, 0.0095, 0.0201, 0.0278, 0.0298, 0.0344, 0.0459, 0.3240, 0.4262,
    0.5719, 0.6528, 0.7590, 1.0,
)  # fmt: skip
BH_ADJUSTED = (
    0.0015, 0.003, 0.0095, 0.035625, 0.0603, 0.063857, 0.063857, 0.0645, 0.0765, 0.486,
    0.581182, 0.714875, 0.753231, 0.813214, 1.0,
)  # fmt: skip


@pytest.mark.parametrize(
    ("count", "lower", "upper"),
    [(0, 0, 3.6889), (1, 0.0253, 5.5716), (2, 0.2422, 7.2247), (3, 0.6187, 8.7673),
     (5, 1.6235, 11.6683), (10, 4.7954, 18.3904), (25, 16.1787, 36.9049),
     (100, 81.3640, 121.6268)],
)  # fmt: skip
def test_the_limits_are_the_tabulated_ones(count, lower, upper):
    assert count_range(count) == pytest.approx((lower, upper), abs=5e-5)


@pytest.mark.parametrize(
    ("level", "lower", "upper"),
    [(0.90, 17.38, 34.92), (0.95, 16.18, 36.90), (0.99, 14.00, 41.00)],
)
def test_twenty_five_at_three_levels(level, lower, upper):
    assert count_range(25, level) == pytest.approx((lower, upper), abs=0.005)


def test_a_standardised_ratio_with_its_range():
    found = against(137, 24.19893)

    assert (found.ratio, found.lower, found.upper) == pytest.approx(
        (5.661407, 4.753125, 6.692709), abs=5e-7
    )


def test_the_adjusted_p_values_are_those_of_the_paper():
    found = adjusted(BH_1995)

    assert found == pytest.approx(BH_ADJUSTED, abs=5e-7)
    assert sum(p <= 0.05 for p in found) == 4
