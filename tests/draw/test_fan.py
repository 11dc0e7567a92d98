"""The wait fan and its twin on the terminal: made-up waits."""

from xml.etree import ElementTree as ET

import pytest

from thawline.draw.doses_ahead import DosesAhead, doses_text
from thawline.draw.doses_ahead import in_words as doses_in_words
from thawline.draw.fan import Fan, fan_text, in_words
from thawline.draw.staff_day import staff_day_svg

SVG = "{http://www.w3.org/2000/svg}"
WAITS = ((0, 1, 2, 3, 5, 9.2, 12), (1, 2, 4, 6, 8, 15.1, 30), None)
FAN = Fan("Waits", ("8:00", "8:30", "9:00", "9:30"), WAITS, 20, 0.9, "200 days, seed 1.")
DOSES = DosesAhead(
    "Doses", FAN.ends, (20.0, 40.0, 40.0), ((10.0, 15.0, 18.0), (30.0, 36.0, 39.0),
    (36.0, 38.0, 42.0)), "200 days, seed 1.",
)  # fmt: skip
DEMO = Fan(**{name: getattr(FAN, name) for name in FAN.__slots__} | {"demo": True})


def drawn(waits=FAN):
    return ET.fromstring(staff_day_svg(waits, DOSES))  # noqa: S314  our own text


def points(shape):
    return [tuple(map(float, pair.split(","))) for pair in shape.get("points").split()]


def test_the_sentence_names_the_longest_half_hour_and_rounds_minutes_up():
    assert in_words(FAN) == (
        "9 in 10 people wait less than 16 min even in the longest half hour, 8:30 to 9:00"
    )


def test_the_terminal_has_a_row_a_half_hour_with_median_and_nine_in_ten():
    rows = [line.split()[:5] for line in fan_text(FAN)[2:5]]

    assert rows[0] == ["8:00", "3", "min", "10", "min"]
    assert rows[1] == ["8:30", "6", "min", "16", "min"]
    assert rows[2] == ["9:00", "-", "-", "|"]


def test_the_strip_shows_bands_inside_one_another_and_the_promise_as_a_post():
    # 30 min over 60 columns: two a minute. 95 in 100: 1 to 30; 8 in 10: 2 to 15; half: 4 to 8.
    strip = fan_text(FAN)[3][27:]

    assert strip[2] + strip[4] + strip[8] == ".-="
    assert strip[12] == "o"
    assert strip[16] + strip[30] + strip[60] == "=-."
    assert strip[40] == "|"


def test_the_page_has_three_bands_for_the_run_of_half_hours_in_which_people_come():
    bands = [points(each) for each in drawn().findall(f"{SVG}polygon")][:3]

    # Four points a line of two half hours: both edges and both middles; there and back.
    assert [len(each) for each in bands] == [8, 8, 8]
    heights = [max(y for _, y in each) - min(y for _, y in each) for each in bands]
    assert heights == sorted(heights, reverse=True)


def test_the_promise_is_dotted_across_the_plot_at_its_height():
    lines = [each for each in drawn().findall(f"{SVG}polyline") if each.get("stroke-dasharray")]
    (left, y), (right, y_right) = points(lines[0])
    axis = [each for each in drawn().findall(f"{SVG}line") if each.get("stroke") == "#12161A"]
    floor, top = float(axis[0].get("y1")), 28 + 64

    assert y == y_right
    assert right - left == pytest.approx(960 - 2 * 28 - 84)
    assert y == pytest.approx(floor + (top - floor) * 20 / 30, abs=0.1)


def test_a_reader_hears_every_number_of_both_pictures():
    says = drawn().find(f"{SVG}desc").text

    assert "from 8:30 half wait less than 6 min, 9 in 10 less than 16 min" in says
    assert "by 9:30 40 expected, 36 to 42 given" in says
    assert "200 days, seed 1." in says


def test_a_demo_says_so_on_both_twins():
    assert fan_text(DEMO)[0] == "DEMO  Waits"
    assert "DEMO  Waits" in [each.text for each in drawn(DEMO).findall(f"{SVG}text")]


def test_waits_of_nobody_are_a_gap_between_two_fans():
    fan = Fan("x", FAN.ends, (WAITS[0], None, WAITS[0]), 20, 0.9, "y")

    assert len(drawn(fan).findall(f"{SVG}polygon")) == 7


def test_the_end_of_the_day_is_said_in_words():
    assert doses_in_words(DOSES) == "by the end 36 to 42 doses on 9 in 10 days"


def test_doses_have_a_row_a_half_hour_with_what_is_expected_as_a_post():
    # 42 doses over 60 columns.
    line = doses_text(DOSES)[3]

    assert line.split()[:3] == ["9:00", "40", "30-39"]
    strip = line[31:]
    assert (strip[:42], strip[42:55], strip[57]) == ("=" * 42, "-" * 13, "|")


def test_a_day_without_doses_is_drawn_flat():
    nothing = DosesAhead("x", FAN.ends, (0.0,) * 3, ((0.0, 0.0, 0.0),) * 3, "y")

    assert doses_text(nothing)[2].split() == ["8:30", "0", "0-0", "|"]
    assert staff_day_svg(FAN, nothing).count("<polygon") == 4
