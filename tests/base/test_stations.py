"""What people type for a station, and which of it means the same place."""

import pytest

from thawline.base.stations import same_station


@pytest.mark.parametrize("typed", ["table 2", "Table 2", "TABLE  2", " table 2 "])
def test_capitals_and_spaces_do_not_make_another_table(typed):
    assert same_station(typed, "table 2")


@pytest.mark.parametrize("other", ["table 12", "table2", "chair 2", ""])
def test_another_number_or_word_is_another_station(other):
    assert not same_station(other, "table 2")


def test_no_station_is_the_same_as_no_station():
    assert same_station("", "")
