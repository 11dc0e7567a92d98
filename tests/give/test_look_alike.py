"""Lots mistaken for each other, with the demo's planted pair and made-up ones."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from thawline.give.look_alike import apart, looks_like

LOTS = st.text("ABZ0123456789-", min_size=1, max_size=9)


@pytest.mark.parametrize(
    ("lot", "other", "alike"),
    [
        ("ZZ-1041", "ZZ-1014", True),
        ("ZZ-1041", "ZZ-1047", True),
        ("ZZ-1041", "AZ-1041", True),
        ("ZZ-1041", "ZZ-1041", False),
        ("zz-1041 ", "ZZ-1041", False),
        ("ZZ-1041", "ZZ-1140", False),
        ("ZZ-1041", "ZZ-1401", True),
        ("ZZ-1041", "ZZ-1052", False),
        ("ZZ-1041", "ZZ-0141", True),
        ("ZZ-1041", "ZZ-2042", False),
        ("ZZ-1041", "ZZ-10411", False),
        ("ZZ-1041", "ZZ-1107", False),
    ],
)
def test_one_character_or_two_swapped_neighbours_make_look_alikes(lot, other, alike):
    assert looks_like(lot, other) is alike


def test_the_differing_characters_are_named_in_both():
    assert apart("ZZ-1041", "ZZ-1014") == ("ZZ-10[41]", "ZZ-10[14]")
    assert apart("ZZ-1041", "ZZ-1047") == ("ZZ-104[1]", "ZZ-104[7]")


@given(LOTS, LOTS)
def test_it_does_not_matter_which_of_the_two_was_scanned(lot, other):
    assert looks_like(lot, other) == looks_like(other, lot)
