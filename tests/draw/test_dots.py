"""Equally likely days as dots: the picture of the design's page, and its twin. Made-up days."""

from itertools import pairwise
from xml.etree import ElementTree as ET

from thawline.draw.dots import Days, dots_svg, dots_text, in_words
from thawline.draw.ink import INK, PAPER

COME = [4, *[5] * 2, *[6] * 5, *[7] * 6, *[8] * 4, *[9] * 2]
DAYS = Days("Open another vial? 16:52", COME, 6, "20 equally likely days")


def circles(days):
    picture = ET.fromstring(dots_svg(days))  # noqa: S314  our own text
    return picture.findall("{http://www.w3.org/2000/svg}circle")


def test_the_terminal_shows_a_row_for_each_number_as_on_the_designs_page():
    rows = [line.split() for line in dots_text(DAYS)[1:7]]

    assert rows == [
        ["4", "o", "|"],
        ["5", "oo", "|"],
        ["6", "ooooo", "|"],
        ["7", "******", "|", "short"],
        ["8", "****", "|", "short"],
        ["9", "**", "|", "short"],
    ]


def test_the_words_are_those_of_the_designs_page():
    assert in_words(DAYS) == "12 of 20 days short, by 1 to 3"


def test_the_page_has_a_dot_a_day_filled_where_doses_are_short():
    fills = [circle.get("fill") for circle in circles(DAYS)]

    assert (fills.count(PAPER), fills.count(INK)) == (8, 12)


def test_nothing_is_said_by_colour_alone():
    assert {circle.get("stroke") for circle in circles(DAYS)} == {INK}
    assert ">short<" in dots_svg(DAYS)


def test_a_reader_hears_every_number():
    assert "7 people: 6" in dots_svg(DAYS)


def test_days_all_alike_and_with_enough():
    days = Days("x", [2] * 20, 5, "y")

    assert in_words(days) == "0 of 20 days short"
    assert dots_text(days)[1].split() == ["2", "o" * 20, "|"]


def test_short_by_one_number_is_said_as_one():
    assert in_words(Days("x", [6, 6], 5, "y")) == "2 of 2 days short, by 1"


def test_many_different_numbers_share_rows_that_never_cross_the_post():
    days = Days("x", list(range(10, 110, 5)), 52, "y")
    rows = [line for line in dots_text(days) if line.rstrip().endswith("|") or "short" in line]

    assert len(rows) <= 27
    assert [row.split()[0] for row in rows if "53-" in row] == ["53-57"]


def test_the_page_of_a_demo_says_so():
    assert "DEMO" in dots_svg(Days("x", [1], 1, "y", demo=True))


def test_labels_of_two_columns_never_run_into_each_other():
    days = Days("Open another vial? 16:52", range(60, 120, 3), 90, "20 equally likely days")
    labels = [
        (float(each.get("x")), len(each.text))
        for each in ET.fromstring(dots_svg(days)).iter("{http://www.w3.org/2000/svg}text")  # noqa: S314  our own
        if each.text and each.text[0].isdigit() and "-" in each.text
    ]
    assert len(labels) > 3
    for (one, letters), (other, _) in pairwise(labels):
        assert other - one > letters * 15 * 0.6
