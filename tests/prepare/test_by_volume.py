"""Doses from a vial by volume, with made-up volumes; published ones are tested elsewhere."""

from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from thawline.base.errors import RecordError
from thawline.prepare.by_volume import Draw, Drawable, doses_in_vial, doses_in_vials


@pytest.mark.parametrize(
    ("fill_ul", "doses", "left_ul"),
    [(0, 0, 0), (109, 0, 109), (110, 1, 0), (219, 1, 109), (220, 2, 0)],
    ids=["empty", "just short of one", "exactly one", "just short of two", "exactly two"],
)
def test_a_dose_needs_its_whole_volume_and_what_the_syringe_keeps(fill_ul, doses, left_ul):
    assert doses_in_vial(fill_ul, Draw(100, 10)) == Drawable(doses, left_ul)


def test_no_more_doses_are_drawn_than_the_protocol_allows():
    assert doses_in_vial(1_000, Draw(100, 0, most=8)) == Drawable(8, 200)
    assert doses_in_vial(700, Draw(100, 0, most=8)) == Drawable(7, 0)


def test_what_is_left_in_two_vials_is_never_a_dose():
    assert doses_in_vials([60, 60], Draw(100, 0)) == 0
    assert doses_in_vials([160, 160, 200], Draw(100, 0)) == 4


def test_the_example_of_the_page_on_doses_in_a_vial():
    assert doses_in_vial(5_500, Draw(500, 35, most=11)) == Drawable(10, 150)
    assert doses_in_vial(5_500, Draw(500, 120, most=11)) == Drawable(8, 540)


@pytest.mark.parametrize(
    ("draw", "said"),
    [
        ({"dose_ul": 0, "dead_space_ul": 0}, "dose of 0 µL"),
        ({"dose_ul": -5, "dead_space_ul": 0}, "dose of -5 µL"),
        ({"dose_ul": 100, "dead_space_ul": -1}, "dead space of -1 µL"),
        ({"dose_ul": 100, "dead_space_ul": 0, "most": -1}, "at most -1 doses"),
    ],
)
def test_volumes_that_cannot_be_are_refused_by_their_value(draw, said):
    with pytest.raises(RecordError, match=said):
        Draw(**draw)


def test_a_fill_below_zero_is_refused_by_its_value():
    with pytest.raises(RecordError, match="fill of -1 µL"):
        doses_in_vial(-1, Draw(100, 0))


@given(
    fill_ul=st.integers(0, 20_000),
    dose_ul=st.integers(1, 2_000),
    dead_space_ul=st.integers(0, 200),
)
def test_exact_fractions_give_the_same_doses(fill_ul, dose_ul, dead_space_ul):
    found = doses_in_vial(fill_ul, Draw(dose_ul, dead_space_ul))
    share = Fraction(fill_ul, dose_ul + dead_space_ul)

    assert found.doses <= share < found.doses + 1
    assert 0 <= found.left_ul < dose_ul + dead_space_ul
