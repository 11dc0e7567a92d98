"""How figures are written and said; all made up."""

from datetime import date, timedelta
from decimal import Decimal

import pytest

from thawline.base.durations import Allowance, read_allowance
from thawline.rules.slips import in_words, iso, item_of, number, shown, spoken_figure, unit_of


@pytest.mark.parametrize(
    ("text", "words"),
    [
        ("P20D", "20 days"),
        ("P1D", "1 day"),
        ("PT24H", "24 h"),
        ("PT2H30M", "2 h 30 min"),
        ("PT45M", "45 min"),
        ("PT30S", "30 s"),
        ("P1DT12H", "1 day 12 h"),
        ("P0D", "no time"),
    ],
)
def test_a_length_is_said_in_days_or_in_hours_as_it_was_written(text, words):
    length = read_allowance(text)

    assert in_words(length) == words
    assert read_allowance(iso(length)) == length


@pytest.mark.parametrize(
    ("leaf", "text"),
    [
        (Decimal("0.50"), "0.5"),
        (Decimal("-20"), "-20"),
        (Decimal("1E+2"), "100"),
        (True, "true"),
        (False, "false"),
        (date(2021, 2, 3), "2021-02-03"),
        (Allowance(0, timedelta(hours=5)), "PT5H"),
    ],
)
def test_a_figure_is_shown_as_the_file_writes_it(leaf, text):
    assert shown(leaf) == text


@pytest.mark.parametrize(
    ("key", "said"),
    [
        ("bands.x.low_c", "5 °C"),
        ("bands.x.low_f", "5 °F"),
        ("product.dose_volume_ml.value", "5 mL"),
        ("needles.0.most_lb", "5 lb"),
        ("needles.0.most_kg", "5 kg"),
        ("needles.0.longest_in", "5 in"),
        ("stations.desk.least_s", "5 s"),
        ("transport.trips.most", "5"),
    ],
)
def test_the_key_says_the_unit(key, said):
    assert spoken_figure(key, Decimal(5)) == said


def test_a_length_of_time_is_iso_8601_and_said_in_words():
    length = read_allowance("PT5H")

    assert unit_of("clocks.open.allows", length) == "ISO 8601"
    assert spoken_figure("clocks.open.allows", length) == "5 h"


def test_an_item_is_that_of_the_nearest_table_that_has_one():
    leaves = {"a.item": "A1", "a.b.c": 1, "a.d.item": "A2", "a.d.e": 2, "f": 3}

    assert [item_of(leaves, key) for key in ("a.b.c", "a.d.e", "f")] == ["A1", "A2", None]


def test_only_numbers_are_numbers():
    leaves = {"a": 1, "b": Decimal("0.5"), "c": "1"}

    assert [number(leaves, key) for key in "abcd"] == [1, Decimal("0.5"), None, None]
