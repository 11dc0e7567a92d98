"""
A lot against the rest, as exact sums computed beside the design of this project (no published
counterpart is claimed); typed from its table of check values.
"""

import pytest

from thawline.report.two_groups import Group, compared


@pytest.mark.parametrize(
    ("lot", "rest", "p", "mid", "ratio", "lower", "upper"),
    [
        ((7, 5000), (5, 15000), 0.014253, 0.008517, 4.2, 1.1475, 16.7821),
        ((4, 10000), (9, 90000), 0.034161, 0.020310, 4.0, 0.9001, 14.3319),
    ],
)
def test_the_exact_figures_of_a_lot(lot, rest, p, mid, ratio, lower, upper):  # noqa: PLR0913, PLR0917
    found = compared(Group(*lot), Group(*rest))

    assert (found.p_one_sided, found.p_mid) == pytest.approx((p, mid), abs=5e-7)
    assert found.rate_ratio == pytest.approx(ratio)
    assert (found.lower, found.upper) == pytest.approx((lower, upper), abs=5e-5)
