"""A band is named by the protocol's word, by a plain one, or by two ends in °C."""

import pytest
from tests.cast import small

from thawline.app.bands import band_named
from thawline.base.errors import RecordError

PROTOCOL = small().protocol


@pytest.mark.parametrize(
    ("said", "name"),
    [
        ("fridge", "refrigerator"),
        ("refrigerator", "refrigerator"),
        ("freezer", "frozen"),
        ("frozen", "frozen"),
        ("room", "room"),
    ],
)
def test_a_band_has_the_word_of_the_protocol_or_a_plain_one(said, name):
    found = band_named(PROTOCOL, said)

    assert (found.name, found.item) == (name, PROTOCOL.bands[name].item)


@pytest.mark.parametrize("said", ["-50..-15", "-50.0..-15", "+2..8", "2..8"])
def test_two_ends_are_a_band_of_no_name(said):
    found = band_named(PROTOCOL, said)
    low, high = (1000 * float(end) for end in said.split(".."))

    assert (found.name, found.item) == ("", None)
    assert (found.limits.low_mc, found.limits.high_mc) == (low, high)


@pytest.mark.parametrize(
    ("said", "says"),
    [
        ("8..2", "the wrong way round: 8..2"),
        ("2..2", "the wrong way round: 2..2"),
        ("36..46", "numbers in °F: 36..46"),
        ("cellar", "no band 'cellar'"),
        ("2..", "no band '2..'"),
    ],
)
def test_what_is_no_band_is_named(said, says):
    with pytest.raises(RecordError, match=says):
        band_named(PROTOCOL, said)
