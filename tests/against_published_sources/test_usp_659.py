"""
United States Pharmacopeia, chapter <659>: a freezer keeps -25 to -10 °C.

As quoted in the project's cold-chain check values, sections 1.1 and 1.4, row U11; read there on
2026-11-25. Tolerance: none.
"""

from decimal import Decimal

from tests.against_published_sources.printed_figures import slips_in_band

from thawline.adapters import rule_files
from thawline.rules.bands import band_at
from thawline.rules.protocol import Band

USP_FREEZER = {
    "freezer": Band(
        item="S9",
        low_c=Decimal(-25),
        high_c=Decimal(-10),
        low_f=Decimal(-13),
        high_f=Decimal(14),
        source="usp",
    )
}


def test_u11_minus_12_is_a_freezer_by_the_pharmacopeia_and_too_warm_for_the_product():
    product = rule_files.load("published-2022").protocol.bands

    assert band_at(USP_FREEZER, Decimal("-12.0")) == "freezer"
    assert band_at(product, Decimal("-12.0")) is None


def test_a_product_band_taken_from_the_pharmacopeia_stops():
    assert "differs-from-source" in slips_in_band("frozen", (-25, -13), (-10, 14))
