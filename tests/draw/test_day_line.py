"""The day line: bars for places and doses, strips, batches by texture, one post for now."""

from datetime import timedelta
from xml.etree import ElementTree as ET

from tests.cast import CHICAGO, at

from thawline.base.instants import Instant
from thawline.draw.day_line import Batch, DayLine, Hour, day_line_svg, in_words
from thawline.draw.sheet import PHONE
from thawline.draw.strips import Strip

NOW = at("13:37")


def day(**more) -> DayLine:
    hours = tuple(
        Hour(Instant(at("07:00") + timedelta(hours=n)), booked, given)
        for n, (booked, given) in enumerate([(60, 58), (65, 0)])
    )
    told = {"hours": hours, "strips": (), "batches": (), "now": NOW, "zone": CHICAGO, **more}
    return DayLine(**{"until": told["now"], **told})


def test_the_present_stands_on_the_axis_with_its_time():
    assert ">13:37<" in day_line_svg(day())


def test_a_bar_is_as_high_as_its_places():
    svg = day_line_svg(day())
    # 65 places fill the 110 px of the bars, 60 of 65 of them 101.5 px.
    assert 'height="110"' in svg
    assert 'height="101.5"' in svg


def test_it_is_read_aloud_in_whole():
    strip = Strip("HK47M", 4, at("10:02"), at("16:02"))
    batch = Batch("warming", 3, "ready 13:43", NOW, at("13:43"))
    said = in_words(day(strips=(strip,), batches=(batch,)))
    assert said == (
        "Now 13:37. from 07:00 60 booked, 58 given; from 08:00 65 booked, 0 given. "
        "Vial HK47M, 4 doses left, use by 16:02, 2 h 25 min left. 3 vials warming, ready 13:43."
    )


def test_a_day_without_anybody_still_has_its_present():
    svg = day_line_svg(day(hours=()))
    assert "nobody is booked" in svg


def test_on_a_phone_nothing_lies_outside_the_picture_and_words_keep_their_size():
    batch = Batch("ready", 6, "on the table, first use by 23:00", NOW, NOW)
    strip = Strip("HK47M", 10, at("10:02"), at("19:26"))
    picture = ET.fromstring(day_line_svg(day(strips=(strip,), batches=(batch,)), PHONE))  # noqa: S314  our own
    words = [each for each in picture.iter() if each.tag.endswith("text")]
    # From memory: letters are about half as wide as high, those of a typewriter 0.6.
    ends = [
        float(each.get("x")) + 0.55 * float(each.get("font-size")) * len(each.text or "")
        for each in words
        if each.get("text-anchor") is None
    ]
    assert picture.get("width") == "360"
    assert max(ends) <= 360
    assert min(float(each.get("font-size")) for each in words) == 15


def test_chilled_vials_that_keep_for_weeks_end_at_the_edge_of_the_day():
    batch = Batch("chilled", 26, "soonest Wed 4 Mar", NOW, at("17:00", 4, 3))
    svg = day_line_svg(day(batches=(batch,)))
    assert "26 vials, soonest Wed 4 Mar" in svg


def test_a_vial_that_ends_while_the_picture_is_shown_is_past_from_the_beginning():
    """Kept for a minute: past a moment early, and never late."""
    ends = at("13:37:40")
    strip = Strip("HK47M", 3, at("07:40"), ends, held=False)
    for until, past in ((at("13:37:39"), False), (ends, True), (at("13:38"), True)):
        svg = day_line_svg(day(strips=(strip,), until=until))
        assert (">PAST<" in svg) is past
        assert (">13:37<" in svg) is True, "the post of the present stays where it is"
