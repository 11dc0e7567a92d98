"""Thread strips: a line a dose, an end post at the use-by, and words for the same."""

import re
from datetime import timedelta

from tests.cast import CHICAGO, at

from thawline.base.instants import Instant
from thawline.draw.strips import Strip, strips_svg

OPENED, NOW, USE_BY = at("10:02"), at("13:37"), at("16:02")
THREAD = re.compile(
    r'<rect x="[\d.]+" y="[\d.]+" width="(?!5")(?!10")[\d.]+" height="[\d.]+" fill="#12161A"/>'
)


def picture(doses: int = 4, *, use_by: Instant | None = USE_BY, held: bool = False) -> str:
    return strips_svg([Strip("HK47M", doses, OPENED, use_by, held)], NOW, CHICAGO)


def test_four_doses_are_four_lines_and_the_use_by_stands_beside_the_post():
    svg = picture(4)
    assert len(THREAD.findall(svg)) == 4
    assert ">16:02<" in svg


def test_an_eleventh_dose_is_a_line_too():
    assert len(THREAD.findall(picture(11))) == 11


def test_it_is_read_aloud_as_vial_doses_use_by_and_time_left():
    # The sentence of the design: "Vial H47K, 4 doses left, use by 16:02, 2 hours 25 minutes".
    assert "Vial HK47M, 4 doses left, use by 16:02, 2 h 25 min left." in picture(4)


def test_a_held_vial_is_cross_hatched_and_says_so_and_has_no_line():
    svg = picture(7, held=True)
    assert ">HELD<" in svg
    assert "held: do not use" in svg
    assert not THREAD.findall(svg)


def test_at_its_use_by_a_vial_is_past_and_has_no_line():
    svg = strips_svg([Strip("HK47M", 4, OPENED, USE_BY)], USE_BY, CHICAGO)
    assert ">PAST<" in svg
    assert "past its use-by 16:02: do not use" in svg
    assert not THREAD.findall(svg)


def test_where_nobody_knows_until_when_no_line_and_no_post_is_drawn():
    svg = picture(4, use_by=None)
    assert "? not known" in svg
    assert "use by not known: do not use" in svg
    assert "<rect" not in svg.replace('<rect x="0" y="0"', "")


def test_the_post_is_twice_as_wide_in_the_last_three_quarters_of_an_hour():
    before = strips_svg([Strip("HK47M", 4, OPENED, USE_BY)], at("15:17"), CHICAGO)
    within = strips_svg([Strip("HK47M", 4, OPENED, USE_BY)], at("15:18"), CHICAGO)
    assert ('width="5"' in before, 'width="10"' in before) == (True, False)
    assert 'width="10"' in within


def test_twice_the_time_left_is_twice_the_length():
    one = Strip("AA11A", 1, OPENED, Instant(NOW + timedelta(hours=1)))
    two = Strip("CC22C", 1, OPENED, Instant(NOW + timedelta(hours=2)))
    lengths = [
        float(width)
        for width in re.findall(
            r'width="([\d.]+)" height="2(?:\.\d)?" fill="#12161A"',
            strips_svg([one, two], NOW, CHICAGO),
        )
    ]
    assert lengths[1] == 2 * lengths[0]
