"""
Centers for Disease Control and Prevention, training module on the mRNA vaccine, page
"Thawing", reviewed 16 November 2021.

As excerpted in the project's cold-chain check values, sections 1.1 and 1.2, rows U2 and U10;
read there on 2026-11-25. Tolerance of U2: 0.5 °F, the rounding of the printed band.
"""

from decimal import Decimal

import pytest
from tests.against_published_sources.printed_figures import band, figure

from thawline.adapters import rule_files
from thawline.base.quantities import fahrenheit
from thawline.rules.bands import band_at

LATER_FILES = ["published-2021-12", "published-2022"]


@pytest.mark.parametrize("name", ["published-2021-02", *LATER_FILES])
def test_the_refrigerator_is_2_to_8_celsius_and_36_to_46_fahrenheit(name):
    assert band(name, "refrigerator") == (2, 8, 36, 46)


@pytest.mark.parametrize(("in_c", "exact", "printed"), [(2, "35.6", 36), (8, "46.4", 46)])
def test_u2_the_printed_fahrenheit_is_rounded_by_less_than_half_a_degree(in_c, exact, printed):
    assert fahrenheit(Decimal(in_c)) == Decimal(exact)
    assert abs(printed - fahrenheit(Decimal(in_c))) <= Decimal("0.5")


@pytest.mark.parametrize("name", LATER_FILES)
def test_unpunctured_vials_have_24_hours_at_8_to_25_celsius(name):
    assert band(name, "room") == (8, 25, 46, 77)
    assert figure(name, "clocks.room.allows") == "PT24H"


@pytest.mark.parametrize("name", LATER_FILES)
def test_thawing_takes_2_hours_30_in_the_refrigerator_or_1_hour_in_the_room(name):
    assert figure(name, "thaw.refrigerator.takes") == "PT2H30M"
    assert figure(name, "thaw.room.takes") == "PT1H"


@pytest.mark.parametrize(
    ("temperature_c", "owner"), [("8.0", "refrigerator"), ("8.1", "room"), ("25.1", None)]
)
def test_u10_8_0_is_still_refrigerated_and_8_1_is_not(temperature_c, owner):
    bands = rule_files.load("published-2022").protocol.bands

    assert band_at(bands, Decimal(temperature_c)) == owner
