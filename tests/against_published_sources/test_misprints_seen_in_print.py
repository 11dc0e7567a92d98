"""
Slips in bands that stand in print: an engineering firm's article of 17 December 2020 ("-58 °F
and -5 °F (-50 °C and -15 °C)"), pages with "2-8 °C (36-45 °F)", a logistics handbook with
"-15 °C to -25 °C".

Rows U3, U5, U7 and U8 of the project's cold-chain check values, section 1.4, read on
2026-11-25. U7 is computed there: -25 and -15 °F are -31.67 and -26.11 °C, to 0.01.
"""

from decimal import Decimal

import pytest
from tests.against_published_sources.printed_figures import slips_in_band

from thawline.base.quantities import celsius


def test_u3_minus_5_fahrenheit_for_minus_15_celsius_is_a_mismatch_with_a_lost_sign():
    found = slips_in_band("frozen", (-50, -58), (-15, -5))

    assert found == {"unit-mismatch", "sign"}


def test_u5_45_fahrenheit_for_8_celsius_is_a_mismatch():
    assert slips_in_band("refrigerator", (2, 36), (8, 45)) == {"unit-mismatch"}


@pytest.mark.parametrize(("in_f", "in_c"), [(-25, "-31.67"), (-15, "-26.11")])
def test_u7_minus_25_to_minus_15_fahrenheit_lies_inside_the_published_band(in_f, in_c):
    assert abs(celsius(Decimal(in_f)) - Decimal(in_c)) < Decimal("0.01")
    assert -50 < celsius(Decimal(in_f)) < -15


def test_u7_and_is_found_all_the_same_because_equality_is_asked_for():
    found = slips_in_band("frozen", ("-31.67", -25), ("-26.11", -15))

    assert {"differs-from-source", "unit-slip"} <= found


def test_u8_the_colder_end_comes_first():
    assert "reversed" in slips_in_band("frozen", (-15, 5), (-25, -13))
