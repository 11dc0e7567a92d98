"""Slips in the degrees of a band; bands made up, conversions exact by definition."""

import pytest
from tests.rules.made_up import audited, changed, published

from thawline.rules.degrees import wrong_degrees
from thawline.rules.reading import examined

FRIDGE_LOW = "low_c = 3\nhigh_c = 9\nlow_f = 37\nhigh_f = 48"


def _codes(*swaps):
    leaves = examined(changed(*swaps)).leaves
    return [(slip.code, slip.key) for slip in wrong_degrees(leaves, published())]


def _fridge(low_c, high_c, low_f, high_f):
    new = f"low_c = {low_c}\nhigh_c = {high_c}\nlow_f = {low_f}\nhigh_f = {high_f}"
    return (FRIDGE_LOW, new)


def test_the_made_up_bands_are_right():
    assert _codes() == []


@pytest.mark.parametrize(
    ("low_f", "codes"),
    [
        ("37.9", []),
        ("36.9", []),
        ("37.91", [("unit-mismatch", "bands.refrigerator.low_f")]),
        ("36.89", [("unit-mismatch", "bands.refrigerator.low_f")]),
        ("36", [("legacy-rounding", "bands.refrigerator.low_f")]),
        ("3", [("unit-slip", "bands.refrigerator.low_f")]),
    ],
    ids=[
        "half a degree up",
        "half down",
        "just more",
        "just less",
        "old rounding",
        "same number",
    ],
)
def test_3_celsius_is_37_4_fahrenheit_to_half_a_degree(low_f, codes):
    assert _codes(_fridge("3", "9", low_f, "48")) == codes


def test_an_old_rounding_is_only_something_to_look_at():
    slips = audited(changed(_fridge(3, 9, 36, 48)))

    assert [(slip.code, slip.level.value, slip.item) for slip in slips] == [
        ("legacy-rounding", "check", "S2")
    ]


def test_minus_40_is_the_same_in_both_units():
    band = ("low_c = -30\nhigh_c = -20\nlow_f = -22", "low_c = -40\nhigh_c = -20\nlow_f = -40")

    assert _codes(band) == []


def test_the_published_fahrenheit_numbers_with_celsius_beside_them():
    assert _codes(_fridge(37, 48, 98.6, 118.4)) == [
        ("probably-fahrenheit", "bands.refrigerator.low_c"),
        ("probably-fahrenheit", "bands.refrigerator.high_c"),
    ]


def test_the_published_celsius_numbers_with_fahrenheit_beside_them():
    frozen = (
        "low_c = -30\nhigh_c = -20\nlow_f = -22",
        "low_c = -34.4\nhigh_c = -20\nlow_f = -30",
    )

    assert _codes(frozen) == [("unit-slip", "bands.frozen.low_f")]


@pytest.mark.parametrize(
    ("old", "new", "key"),
    [
        ("high_f = -4", "high_f = 4", "bands.frozen.high_f"),
        ("low_f = -22", "low_f = 22", "bands.frozen.low_f"),
        ("low_c = -30", "low_c = 30", "bands.frozen.low_c"),
    ],
)
def test_a_lost_minus_is_named(old, new, key):
    assert ("sign", key) in _codes((old, new))


def test_a_minus_lost_in_both_units_is_still_named():
    codes = _codes(
        ("high_c = -20\nlow_f = -22\nhigh_f = -4", "high_c = 20\nlow_f = -22\nhigh_f = 68")
    )

    assert ("sign", "bands.frozen.high_c") in codes


def test_a_sign_lost_in_a_band_that_nobody_publishes_shows_in_the_other_unit():
    cellar = (
        "\n[bands.cellar]\nitem = 'S9'\nlow_c = 30\nhigh_c = 40\nlow_f = -22\nhigh_f = 104\n"
        "source = 'tale'\n"
    )
    leaves = examined(changed() + cellar.encode()).leaves

    found = [(slip.code, slip.key) for slip in wrong_degrees(leaves, published())]

    assert found == [
        ("unit-mismatch", "bands.cellar.low_f"),
        ("sign", "bands.cellar.low_c"),
    ]


@pytest.mark.parametrize("low_f", ["22", "22.5", "21.5"])
def test_a_sign_lost_in_fahrenheit_shows_in_celsius(low_f):
    cellar = (
        f"\n[bands.cellar]\nitem = 'S9'\nlow_c = -30\nhigh_c = 40\nlow_f = {low_f}\n"
        "high_f = 104\nsource = 'tale'\n"
    )
    leaves = examined(changed() + cellar.encode()).leaves

    found = [(slip.code, slip.key) for slip in wrong_degrees(leaves, published())]

    assert found == [("unit-mismatch", "bands.cellar.low_f"), ("sign", "bands.cellar.low_f")]


def test_a_sign_lost_in_fahrenheit_is_named_also_where_celsius_cannot_be_read():
    assert ("sign", "bands.frozen.low_f") in _codes(
        ("low_c = -30\nhigh_c = -20\nlow_f = -22", 'low_c = "?"\nhigh_c = -20\nlow_f = 22')
    )


def test_ends_the_wrong_way_round_are_named_in_each_unit():
    assert [code for code in _codes(_fridge(9, 3, 48, 37)) if code[0] == "reversed"] == [
        ("reversed", "bands.refrigerator.low_c"),
        ("reversed", "bands.refrigerator.low_f"),
    ]


def test_a_band_of_one_degree_is_none():
    assert ("reversed", "bands.refrigerator.low_c") in _codes(_fridge(3, 3, 37, 48))


def test_degrees_that_cannot_be_read_leave_the_others_to_be_checked():
    assert _codes(_fridge('"3"', 9, 1, 9)) == [("unit-slip", "bands.refrigerator.high_f")]
