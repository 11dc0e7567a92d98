"""Every figure in two units beside the printed one; made up, converted by definition."""

from decimal import Decimal

import pytest
from tests.rules.made_up import PROTOCOL, changed, published

from thawline.base.durations import read_allowance
from thawline.rules.both_units import in_both_units, in_other_unit
from thawline.rules.reading import examined


def _row(key):
    rows = in_both_units(examined(PROTOCOL.encode()).leaves, published())
    return next(row for row in rows if row.key == key)


@pytest.mark.parametrize(
    ("key", "number", "other"),
    [
        ("bands.x.low_c", "-40", "-40 °F"),
        ("bands.x.low_c", "37", "98.6 °F"),
        ("bands.x.low_f", "-25", "-31.67 °C"),
        ("bands.x.low_f", "212", "100 °C"),
        ("product.dose_volume_ml.value", "5", "5000 µL"),
        ("needles.0.longest_in", "0.625", "15.88 mm"),
        ("needles.0.most_lb", "100", "45.36 kg"),
        ("needles.0.most_kg", "100", "220.46 lb"),
        ("stations.desk.most_s", "90", "1.5 min"),
        ("transport.trips.most", "2", None),
    ],
)
def test_a_figure_is_said_in_the_other_unit(key, number, other):
    assert in_other_unit(key, Decimal(number)) == other


@pytest.mark.parametrize(
    ("text", "other"),
    [
        ("PT2H30M", "2 h 30 min = 150 min"),
        ("PT1H", "1 h = 60 min"),
        ("PT59M", "59 min"),
        ("P28D", "28 days"),
    ],
)
def test_hours_are_said_in_minutes_and_days_never_in_hours(text, other):
    assert in_other_unit("clocks.x.allows", read_allowance(text)) == other


def test_words_have_no_other_unit():
    assert in_other_unit("protocol.title", "Made up") is None


def test_a_row_has_item_figure_and_print():
    row = _row("bands.frozen.low_c")

    assert (row.item, row.figure, row.other) == ("S1", "-30 °C", "-22 °F")
    assert (row.published, row.edition, row.source) == ("-30 °C", "two", "print")


def test_a_figure_that_is_not_in_print_says_so():
    row = _row("product.dead_space_ml.value")

    assert (row.figure, row.published, row.edition, row.source) == ("0.05 mL", None, None, None)


def test_a_count_and_a_length_are_shown_as_the_file_writes_them():
    assert _row("transport.trips.most").figure == "2"
    assert _row("clocks.open.allows").published == "PT5H"


def test_a_file_about_another_product_has_nothing_beside_it():
    leaves = examined(changed(("version = 2", 'version = 2\ncompared_with = "nothing"'))).leaves

    assert {row.published for row in in_both_units(leaves, published())} == {None}
