"""
Degrees Celsius and Fahrenheit by their definition, F = 1.8 C + 32.

Rows U1 and U6 of the project's cold-chain check values, computed there from the definition;
read on 2026-11-25. Tolerance: none, the pairs are exact.
"""

from decimal import Decimal

import pytest
from tests.against_published_sources.printed_figures import slips_in_band

from thawline.base.quantities import celsius, fahrenheit

PAIRS = [
    (-90, -130), (-60, -76), (-50, -58), (-40, -40), (-25, -13),
    (-15, 5), (15, 59), (20, 68), (25, 77), (30, 86),
]  # fmt: skip


@pytest.mark.parametrize(("in_c", "in_f"), PAIRS)
def test_u1_each_pair_is_exact_both_ways(in_c, in_f):
    assert fahrenheit(Decimal(in_c)) == in_f
    assert celsius(Decimal(in_f)) == in_c


def test_u6_the_same_number_in_both_units_is_right_at_minus_40_alone():
    at_minus_40 = slips_in_band("frozen", (-40, -40), (-15, 5))

    assert not at_minus_40 & {"unit-slip", "unit-mismatch"}
    assert "unit-slip" in slips_in_band("frozen", (-50, -58), (-20, -20))
    assert "unit-slip" in slips_in_band("refrigerator", (2, 36), (8, 8))
