"""Numbers spelt out in texts, held against the figures; all made up."""

import time

import pytest
from tests.rules.made_up import PROTOCOL, changed

from thawline.rules.reading import examined
from thawline.rules.spoken_figures import misspoken_figures


def _found(says, about='about = ["clocks.open"]'):
    raw = changed(('"An open vial has {clocks.open.allows}."', f'"{says}"'))
    raw = raw.replace(b'about = ["clocks.open"]', about.encode())
    return [(s.code, s.level.value) for s in misspoken_figures(examined(raw).leaves)]


@pytest.mark.parametrize(
    "says",
    [
        "An open vial has {clocks.open.allows}.",
        "An open vial has 5 h.",
        "An open vial has 5 hours, that is 300 minutes.",
        "Un vial abierto tiene 5 horas o 300 minutos.",
        "An open vial has 5.0 h.",
        "Look twice at vial 7; table 12 is yours; room 3b.",
        "Take 2 hats.",
    ],
)
def test_a_text_that_names_its_figure_or_none_is_right(says):
    assert _found(says) == []


@pytest.mark.parametrize(
    "says",
    [
        "An open vial has 6 h.",
        "An open vial has 10 h.",
        "An open vial has 5 to 6 h.",
        "An open vial has 5 days.",
        "An open vial has 301 min.",
        "Es gilt \u22125 °C.",
        "Un vial abierto tiene 6 horas.",
    ],
    ids=[
        "another number", "the figure of another clock", "a range", "another unit",
        "a minute more", "degrees", "in Spanish",
    ],
)  # fmt: skip
def test_a_text_that_says_another_number_than_its_figure_stops(says):
    assert _found(says) == [("text-differs", "stop")]


@pytest.mark.parametrize(
    "says",
    [
        "Keep at 3 to 9 °C (37 to 48 °F).",
        "Keep at 3\u20139 °C.",
        "Saque 0,4 mL con 0,05 mL de espacio muerto.",
        "Frozen is \u221230 °C to -20 °C.",
        "Draw 0.4 mL, 8 doses a vial, for 20 days at most; back after 3 weeks.",
    ],
)
def test_a_text_about_a_table_is_held_against_that_table_alone(says):
    everything = ["bands.refrigerator", "bands.frozen", "product", "clocks", "schedule"]
    names = ", ".join(f'"{name}"' for name in everything)

    assert _found(says, f"about = [{names}]") == []
    assert _found(says) != []


def test_each_language_is_held_against_the_same_figures():
    both = 'Five"\nsays.es = "Un vial abierto tiene {} h.'

    assert _found(both.format(5)) == []
    assert _found(both.format(6)) == [("text-differs", "stop")]


def test_a_text_about_nothing_is_held_against_the_whole_file():
    label = '\n[labels.held]\nsays.en = "Kept for {}"\n'

    def found(length):
        leaves = examined((PROTOCOL + label.replace("{}", length)).encode()).leaves
        return [slip.code for slip in misspoken_figures(leaves)]

    assert found("20 days") == []
    assert found("21 h") == ["text-differs"]


def test_hours_that_can_be_read_twice_must_be_written_otherwise():
    assert _found("An open vial has 5.30 h.") == [("ambiguous-duration", "act")]


@pytest.mark.parametrize("endless", ["9" * 150_000, "9." * 75_000, "9 to " * 30_000])
def test_an_endless_number_is_passed_over_at_once(endless):
    began = time.monotonic()

    assert _found(endless) == []
    assert time.monotonic() - began < 2


def test_a_permission_is_no_number():
    assert _found("At most 0 doses.", 'about = ["transport.punctured"]') == [
        ("text-differs", "stop")
    ]
