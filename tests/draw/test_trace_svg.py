"""The temperature trace as SVG: what must be seen is in it, and nothing is fetched."""

import re
from xml.etree import ElementTree as ET

import numpy as np
from tests.draw.traces import MINUTE_MS, SINCE, at_ms, night

from thawline.base.instants import from_ms, read_instant, to_ms, zone_named
from thawline.draw.ink import STOP
from thawline.draw.trace import Gap, Outside
from thawline.draw.trace_svg import trace_svg
from thawline.rules.cold import Side
from thawline.store.readings import readings

SVG = "{http://www.w3.org/2000/svg}"
YEAR_MINUTES = 365 * 24 * 60


def _drawn(trace):
    return ET.fromstring(trace_svg(trace))  # noqa: S314  our own text


def _all(drawn, name):
    return list(drawn.iter(f"{SVG}{name}"))


def _words(drawn):
    return [each.text for each in _all(drawn, "text")]


def _curves(drawn):
    return [
        [tuple(map(float, point.split(","))) for point in each.get("points").split()]
        for each in _all(drawn, "polyline")
    ]


def test_a_line_is_never_joined_across_a_gap():
    before, after = _curves(_drawn(night()))

    assert before[-1][0] < after[0][0]
    assert len(_curves(_drawn(night(gaps=())))) == 1  # the same readings without the gap


def test_a_gap_is_hatched_from_its_first_to_its_last_instant_and_says_not_known():
    drawn = _drawn(night())
    hatched = [r for r in _all(drawn, "rect") if r.get("fill").startswith("url(#")]
    before, after = _curves(drawn)

    assert len(hatched) == 1
    assert float(hatched[0].get("x")) == before[-1][0]
    assert abs(float(hatched[0].get("x")) + float(hatched[0].get("width")) - after[0][0]) < 0.2
    assert {"Not known", "01:00 to 02:55"} <= set(_words(drawn))


def test_a_gap_too_short_for_words_is_still_seen_and_asks():
    drawn = _drawn(night(gaps=(Gap(at_ms(180), at_ms(181)),)))
    hatched = [r for r in _all(drawn, "rect") if r.get("fill").startswith("url(#")]

    assert float(hatched[0].get("width")) >= 4
    assert "?" in _words(drawn)


def test_time_out_of_band_is_marked_on_the_limit_thick_and_in_words():
    drawn = _drawn(night())
    mark = next(r for r in _all(drawn, "rect") if r.get("fill") == STOP)
    limit = next(t for t in _all(drawn, "text") if t.text == "8 °C")
    middle = float(mark.get("y")) + float(mark.get("height")) / 2

    assert abs(middle - float(limit.get("y"))) <= 6  # letters stand a little lower
    assert float(mark.get("height")) >= 3 * 2  # three times a limit's line
    assert {"Above 8 °C", "seen for 55 min"} <= set(_words(drawn))


def test_a_mark_below_the_band_lies_on_the_lower_limit():
    run = Outside(Side.BELOW, at_ms(10), at_ms(20))
    drawn = _drawn(night(outside=(run,)))
    mark = next(r for r in _all(drawn, "rect") if r.get("fill") == STOP)
    limit = next(t for t in _all(drawn, "text") if t.text == "2 °C")

    assert abs(float(mark.get("y")) + 5 - float(limit.get("y"))) <= 6
    assert "Below 2 °C" in _words(drawn)


def test_limits_have_bold_labels_and_other_degrees_do_not():
    weights = {t.text: t.get("font-weight") for t in _all(_drawn(night()), "text")}

    assert weights["2 °C"] == weights["8 °C"] == "bold"
    assert weights["4 °C"] == "normal"


def test_both_units_stand_on_the_axis_when_asked():
    words = _words(_drawn(night(fahrenheit=True)))

    assert {"35.6 °F", "46.4 °F"} <= set(words)  # 2 and 8 degrees, by definition
    assert not [w for w in _words(_drawn(night())) if "°F" in w]


def test_hand_readings_are_hollow():
    hand = readings([at_ms(240)], [9_000])
    circle = _all(_drawn(night(by_hand=hand)), "circle")[0]

    assert circle.get("fill") == "#FFFFFF"
    assert float(circle.get("stroke-width")) > 0


def test_the_word_for_hand_readings_stands_apart_from_the_mark_of_what_is_not_known():
    drawn = _all(_drawn(night(by_hand=readings([at_ms(240)], [9_400]))), "text")
    heights = {text.text: text.get("y") for text in drawn}
    (zone,) = [says for says in heights if says.startswith("local time")]

    assert heights["\N{WHITE CIRCLE} read by hand"] == heights[zone]


def test_the_one_spike_of_a_year_stays_visible():
    minutes = np.arange(0, YEAR_MINUTES, 5)
    degrees = np.full(len(minutes), 5_000)
    degrees[70_000] = 12_400
    record = readings(to_ms(SINCE) + minutes * MINUTE_MS, degrees)
    until = from_ms(int(record.at_ms[-1]))
    (curve,) = _curves(_drawn(night(record=record, until=until, gaps=(), outside=())))
    heights = [y for _, y in curve]
    degree_px = (max(heights) - min(heights)) / (12.4 - 5)

    assert len(curve) < 5_000
    assert degree_px > 20  # the spike stands as high as its 7.4 degrees on the page


def test_a_reading_alone_between_two_gaps_is_a_dot():
    record = readings([at_ms(0), at_ms(5), at_ms(100), at_ms(300)], [5_000] * 4)
    gaps = (Gap(at_ms(5), at_ms(100)), Gap(at_ms(100), at_ms(300)))
    drawn = _drawn(night(record=record, gaps=gaps, outside=()))

    assert len(_all(drawn, "circle")) == 2
    assert len(_curves(drawn)) == 1


def test_a_record_without_any_reading_is_a_band_alone():
    drawn = _drawn(night(record=readings([], []), outside=()))

    assert not _curves(drawn)
    assert "Not known" in _words(drawn)


def test_who_does_not_see_it_is_told_all_of_it():
    drawn = _drawn(night())
    title, told = drawn.find(f"{SVG}title"), drawn.find(f"{SVG}desc")

    assert drawn.get("role") == "img"
    assert drawn.get("aria-labelledby") == f"{title.get('id')} {told.get('id')}"
    for said in ("Not known from 01:00 to 02:55", "at most 2 h 50 min", "46 vials are held"):
        assert said in told.text


def test_demo_is_written_across_a_demo_and_nothing_else():
    assert "DEMO" in _words(_drawn(night(demo=True)))
    assert "DEMO" not in _words(_drawn(night()))


def test_nothing_is_fetched_and_nothing_runs():
    text = trace_svg(night(demo=True)).replace('xmlns="http://www.w3.org/2000/svg"', "")

    assert not re.search(r"https?:|<script|<style|href|@import|\bon\w+=|url\((?!#)", text)


def test_words_of_people_cannot_break_the_picture():
    drawn = _drawn(night(title='<script>"&', says=("a < b",)))

    assert any(word.startswith('<script>"&, Wed') for word in _words(drawn))


def test_a_clock_change_gives_its_night_two_hours_of_one_name():
    since = read_instant("2026-11-01T00:00:00-05:00")
    until = read_instant("2026-11-01T03:00:00-06:00")
    chicago = zone_named("America/Chicago")
    words = _words(_drawn(night(zone=chicago, since=since, until=until)))

    assert words.count("01:00") == 2  # the clocks go back at 02:00 (tz database)
