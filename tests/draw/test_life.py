"""A vial's life drawn: each state has its own texture and always its word."""

from xml.etree import ElementTree as ET

import pytest
from tests.cast import at

from thawline.draw.life import Lived, Span, life_svg
from thawline.draw.sheet import PHONE

TEN = at("10:00")


def drawn(state: str, draws=()) -> ET.Element:
    span = Span(state, "10:00", TEN, at("12:00"))
    return ET.fromstring(life_svg(Lived("HK47M", [span], 10, draws)))  # noqa: S314  our own


def named(picture, kind: str) -> list:
    return [each for each in picture.iter() if each.tag.endswith(kind)]


@pytest.mark.parametrize(
    "state", ["frozen", "thawing", "chilled", "warming", "ready", "held", "discarded", "open"]
)
def test_every_state_stands_there_in_words_too(state):
    assert state in [each.text for each in named(drawn(state), "text")]


def test_on_a_phone_a_life_goes_on_in_the_next_row():
    spans = [Span(each, "10:00", TEN, TEN) for each in ("thawing", "chilled", "open")]
    picture = ET.fromstring(life_svg(Lived("HK47M", spans, 10, ()), PHONE))  # noqa: S314  our own
    names = {each.text: float(each.get("y")) for each in named(picture, "text")}
    assert picture.get("width") == "360"
    assert names["thawing"] == names["chilled"] < names["open"]


def test_no_two_states_look_alike():
    states = ["frozen", "thawing", "chilled", "warming", "ready", "held", "discarded", "open"]
    pictures = {
        life_svg(Lived("HK47M", [Span(each, "10:00", TEN, TEN)], 1, ())).replace(each, "")
        for each in states
    }
    assert len(pictures) == len(states)


def test_an_open_vial_has_one_line_a_dose_and_a_drawn_dose_ends_at_its_draw():
    lines = named(drawn("open", [at("11:00")]), "line")
    ends = sorted(float(each.get("x2")) for each in lines)
    assert len(lines) == 10
    assert ends == [130.0, *[260.0] * 9]


def test_the_picture_says_in_words_that_it_is_not_to_scale():
    said = " ".join(each.text or "" for each in named(drawn("held"), "desc"))
    assert said == "held since 10:00. Not to scale."
