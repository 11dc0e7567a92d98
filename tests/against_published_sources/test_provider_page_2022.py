"""
The manufacturer's provider page on storage and handling, undated copy of about 2022: the later
form of the limits; and Oakland County Health Division (Michigan), beyond-use date tip sheet,
1 September 2022, for the punctures.

As excerpted in the project's cold-chain check values, section 1.2; read there on 2026-11-25.
Tolerance: none.
"""

import pytest
from tests.against_published_sources.printed_figures import band, figure

from thawline.adapters import rule_files

LATER = "published-2022"


def test_frozen_is_minus_50_to_minus_15_celsius():
    assert band(LATER, "frozen") == (-50, -15, -58, 5)


@pytest.mark.parametrize(
    ("key", "allows"),
    [
        ("clocks.chilled.allows", "P30D"),
        ("clocks.room.allows", "PT24H"),
        ("clocks.open.allows", "PT12H"),
        ("caps.room_total.allows", "PT24H"),
        ("punctures.most", "20"),
    ],
)
def test_the_later_limits_are_those_of_the_page_and_the_tip_sheet(key, allows):
    assert figure(LATER, key) == allows


def test_the_joint_cap_counts_time_punctured_too():
    assert rule_files.load(LATER).protocol.caps["room_total"].counts == ("room", "open")
