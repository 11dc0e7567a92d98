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
    with pytest.raises(RecordError, match=f"a weight of {kg} kg"):
        dose_for(Decimal(kg), MADE_UP)


def test_the_volume_follows_the_concentration_of_the_kit():
    assert millilitres(Decimal("0.4"), MADE_UP) == Decimal("0.20")


def test_the_card_begins_with_what_to_do_and_ends_with_who_decides():
    lines = [says for says, _ in card_lines(MADE_UP)]
    assert lines[0] == "Give it now."
    assert lines[3] == "Not better: again after 4 to 11 min. Stamp each dose."
    assert lines[-1] == "Treat first. Names and records later."
