"""
Michigan Department of Health and Human Services, bulletin on the 28-day product, 1 March 2021:
the first form of the limits.

As excerpted in the project's cold-chain check values, sections 1.1 and 1.2, row U12; read there
on 2026-11-25. Tolerance: none. The 15 minutes on the table are common practice.
"""

from decimal import Decimal

import pytest
from tests.against_published_sources.printed_figures import band, figure

from thawline.adapters import rule_files
from thawline.rules.bands import band_at
from thawline.rules.protocol import AfterOpening

FIRST = "published-2021-02"


def test_frozen_was_minus_25_to_minus_15_celsius():
    assert band(FIRST, "frozen") == (-25, -15, -13, 5)


@pytest.mark.parametrize(
    ("key", "allows"),
    [
        ("clocks.chilled.allows", "P30D"),
        ("clocks.room.allows", "PT12H"),
        ("clocks.open.allows", "PT6H"),
        ("thaw.refrigerator.takes", "PT2H30M"),
        ("thaw.refrigerator.then_room", "PT15M"),
        ("thaw.room.takes", "PT1H"),
    ],
)
def test_the_first_limits_are_those_of_the_bulletin(key, allows):
    assert figure(FIRST, key) == allows


def test_12_hours_at_8_to_25_celsius_were_printed_for_unpunctured_vials():
    assert band(FIRST, "room") == (8, 25, 46, 77)
    assert rule_files.load(FIRST).protocol.clocks["room"].after_open is AfterOpening.STOPS


def test_vials_were_not_kept_on_dry_ice():
    assert rule_files.load(FIRST).protocol.handling.dry_ice.may is False


@pytest.mark.parametrize(("name", "owner"), [(FIRST, None), ("published-2022", "frozen")])
def test_u12_minus_30_is_an_excursion_by_the_first_form_and_in_range_by_the_later(name, owner):
    assert band_at(rule_files.load(name).protocol.bands, Decimal(-30)) == owner
