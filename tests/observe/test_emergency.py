"""The emergency card with made-up figures: never above the cap, windows never too early."""

from datetime import timedelta
from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st
from tests.cast import CHICAGO, at, small
from tests.observe.made_up import CARD

from thawline.base.errors import RecordError
from thawline.base.instants import Instant, Occurred
from thawline.observe.emergency import card_lines, dose_for, millilitres, next_dose

MADE_UP = small(CARD).protocol.anaphylaxis
LIE_FLAT = """\
[anaphylaxis.steps.lie]
item = "E7"
says.en = "Lay the person flat."
source = "demo"
"""
WEIGHTS = st.decimals("0.5", "400", places=1)


@given(WEIGHTS, WEIGHTS)
def test_no_dose_is_above_the_cap_or_falls_with_the_weight(one, other):
    less, more = sorted((one, other))
    assert dose_for(less, MADE_UP) <= dose_for(more, MADE_UP) <= Decimal("0.7")


@given(WEIGHTS)
def test_a_dose_is_never_rounded_up(kg):
    assert dose_for(kg, MADE_UP) <= kg * Decimal("0.02")


@given(st.integers(0, 600), st.integers(0, 3600))
def test_the_window_never_opens_before_the_later_end_of_an_uncertain_time(start, unsure):
    lo = Instant(at("10:00") + timedelta(seconds=start))
    hi = Instant(lo + timedelta(seconds=unsure))
    window = next_dose(Occurred(lo, hi), MADE_UP.again, CHICAGO)
    assert window.opens == hi + timedelta(minutes=4)
    assert window.closes >= window.opens


@pytest.mark.parametrize("kg", ["0", "-3", "NaN", "Infinity"])
def test_a_weight_that_cannot_be_is_refused_by_its_value(kg):
    with pytest.raises(RecordError) as refused:
        dose_for(Decimal(kg), MADE_UP)

    assert refused.value.says == f"a weight of {kg} kg"
    assert refused.value.advice == "write it in kilograms, or use the adult dose"


@pytest.mark.parametrize(
    ("kg", "mg"),
    [("0.5", "0.01"), ("10", "0.20"), ("10.9", "0.21"), ("35", "0.70"), ("35.1", "0.70")],
    ids=["the smallest", "ten kilograms", "rounded down", "just the cap", "above the cap"],
)
def test_a_dose_is_a_fiftieth_of_a_milligram_for_each_kilogram_up_to_the_cap(kg, mg):
    assert dose_for(Decimal(kg), MADE_UP) == Decimal(mg)


@pytest.mark.parametrize(
    ("mg", "ml"), [("0.4", "0.20"), ("0.39", "0.19"), ("0.43", "0.21")], ids=lambda value: value
)
def test_the_volume_follows_the_concentration_of_the_kit_and_is_never_rounded_up(mg, ml):
    assert millilitres(Decimal(mg), MADE_UP) == Decimal(ml)


@pytest.mark.parametrize(
    ("lo", "hi", "opens", "closes"),
    [
        ("10:00", "10:00", "10:04", "10:11"),
        ("09:57", "10:00", "10:04", "10:08"),
        ("09:50", "10:00", "10:04", "10:04"),
    ],
    ids=["known", "within three minutes", "within ten minutes"],
)
def test_an_uncertain_dose_makes_the_window_of_the_next_one_narrower(lo, hi, opens, closes):
    window = next_dose(Occurred(at(lo), at(hi)), MADE_UP.again, CHICAGO)

    assert (window.opens, window.closes, window.item) == (at(opens), at(closes), "E4")


def test_the_card_begins_with_what_to_do_and_ends_with_who_decides():
    assert card_lines(small(CARD + LIE_FLAT).protocol.anaphylaxis) == [
        ("Give it now.", "E6"),
        ("A made-up drug.", "E1"),
        ("Adult dose: 0.4 mg = 0.2 mL of 2 mg/mL.", "E2"),
        ("Not better: again after 4 to 11 min. Stamp each dose.", "E4"),
        ("Lay the person flat.", "E7"),
        ("Standing orders and licensed practice decide; this card reminds.", ""),
        ("Treat first. Names and records later.", ""),
    ]


def test_a_window_of_half_minutes_is_said_to_the_half_minute():
    halves = small(CARD.replace('"PT4M"', '"PT4M30S"')).protocol.anaphylaxis

    assert (
        "Not better: again after 4.5 to 11 min. Stamp each dose.",
        "E4",
    ) in card_lines(halves)
