"""Which band owns a temperature, and bands that leave that in doubt; bands made up."""

from decimal import Decimal

import pytest
from tests.rules.made_up import PROTOCOL, changed, published

from thawline.rules.bands import band_at, doubtful_bands
from thawline.rules.reading import examined, read_protocol


def _found(*swaps):
    leaves = examined(changed(*swaps)).leaves
    return [(s.code, s.level.value, s.key) for s in doubtful_bands(leaves, published())]


@pytest.mark.parametrize(
    ("temperature_c", "band"),
    [
        ("-30.001", None), ("-30", "frozen"), ("-20", "frozen"), ("-19.999", None),
        ("2.999", None), ("3", "refrigerator"), ("9", "refrigerator"), ("9.001", "room"),
        ("21", "room"), ("21.001", None),
    ],
)  # fmt: skip
def test_both_ends_are_inside_and_a_shared_end_belongs_to_the_colder_band(temperature_c, band):
    bands = read_protocol(PROTOCOL.encode()).protocol.bands

    assert band_at(bands, Decimal(temperature_c)) == band


def test_a_shared_end_belongs_to_the_colder_band_whatever_the_bands_are_called():
    bands = read_protocol(PROTOCOL.encode()).protocol.bands
    renamed = {"a table": bands["room"], "the cold shelf": bands["refrigerator"]}

    assert band_at(renamed, Decimal(9)) == "the cold shelf"


def test_no_band_owns_a_temperature_where_there_are_no_bands():
    assert band_at({}, Decimal(5)) is None


def test_bands_that_only_touch_are_in_no_doubt():
    assert _found() == []


def test_bands_that_overlap_are_named():
    assert _found(("low_c = 9\nhigh_c = 21", "low_c = 8.9\nhigh_c = 21")) == [
        ("overlap", "act", "bands.room.low_c")
    ]


def test_a_gap_that_nobody_named_is_said():
    assert _found(("low_c = 9\nhigh_c = 21", "low_c = 9.1\nhigh_c = 21")) == [
        ("gap", "act", "bands.refrigerator.high_c")
    ]


def test_the_gap_of_thawing_is_only_to_be_looked_at_when_it_is_not_named():
    assert _found(('named_gap_above = "thawing"\n', "")) == [
        ("gap", "check", "bands.frozen.high_c")
    ]


def test_a_unit_kept_narrower_than_printed_leaves_a_gap_that_is_only_looked_at():
    assert _found(("high_c = 9\nlow_f", "high_c = 8\nlow_f")) == [
        ("gap", "check", "bands.refrigerator.high_c")
    ]


def test_bands_that_are_the_wrong_way_round_or_unreadable_are_left_to_other_checks():
    assert _found(("low_c = 9\nhigh_c = 21", "low_c = 21\nhigh_c = 9")) == []
    assert _found(("low_c = 9\nhigh_c = 21", "low_c = 12\nhigh_c = 12")) == []
    assert _found(("low_c = 9\nhigh_c = 21", 'low_c = "9"\nhigh_c = 21')) == []
