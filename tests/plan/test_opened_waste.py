"""Doses wasted in opened vials, against adding up every possible turnout."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy import stats

from thawline.base.errors import RecordError
from thawline.plan.opened_waste import waste_of_bookings, waste_of_stream

DOSES = st.integers(1, 24)


def test_the_worked_example_of_the_background_page():
    opened = waste_of_bookings(2, 0.5, 3)

    assert opened.expected_wasted == pytest.approx(1.25)
    assert opened.expected_vials == pytest.approx(0.75)
    assert opened.waste_share == pytest.approx(0.556, abs=5e-4)


@given(st.integers(0, 300), st.floats(0, 1), DOSES)
def test_bookings_waste_what_the_direct_sum_gives(booked, no_show, doses):
    people = np.arange(booked + 1)
    direct = stats.binom.pmf(people, booked, 1 - no_show) @ (-people % doses)

    wasted = waste_of_bookings(booked, no_show, doses).expected_wasted

    assert wasted == pytest.approx(direct, abs=1e-9)


@given(st.floats(0, 200), DOSES)
def test_a_stream_wastes_what_the_direct_sum_gives(expected, doses):
    people = np.arange(1_000)
    direct = stats.poisson.pmf(people, expected) @ (-people % doses)

    assert waste_of_stream(expected, doses).expected_wasted == pytest.approx(direct, abs=1e-9)


def test_seven_tables_share_the_bookings_as_evenly_as_they_can():
    three_with_three = 3 * waste_of_bookings(3, 0.2, 10).expected_wasted
    four_with_two = 4 * waste_of_bookings(2, 0.2, 10).expected_wasted

    dealt = waste_of_bookings(17, 0.2, 10, tables=7).expected_wasted

    assert dealt == pytest.approx(three_with_three + four_with_two)


@pytest.mark.parametrize(
    ("booked", "no_show"), [(0, 0.1), (5, 1.0)], ids=["nobody booked", "everybody stays away"]
)
def test_without_people_nothing_is_opened_and_the_share_is_not_known(booked, no_show):
    opened = waste_of_bookings(booked, no_show, 10)

    assert (opened.expected_wasted, opened.expected_vials) == (0, 0)
    assert opened.waste_share is None


def test_one_dose_vials_waste_nothing():
    opened = waste_of_bookings(33, 0.1, 1)

    assert opened.expected_wasted == 0
    assert opened.expected_vials == pytest.approx(29.7)


def test_a_person_who_hardly_ever_comes_wastes_nine_doses_of_ten():
    assert waste_of_stream(1e-9, 10).waste_share == pytest.approx(0.9)


def test_full_vials_waste_nothing_when_everybody_comes():
    opened = waste_of_bookings(240, 0.0, 10)

    assert opened.expected_wasted == pytest.approx(0, abs=1e-9)
    assert opened.expected_vials == pytest.approx(24)


@pytest.mark.parametrize(
    "ask",
    [
        lambda: waste_of_bookings(-1, 0.1, 10),
        lambda: waste_of_bookings(10, -0.1, 10),
        lambda: waste_of_bookings(10, 1.1, 10),
        lambda: waste_of_bookings(10, float("nan"), 10),
        lambda: waste_of_bookings(10, 0.1, 0),
        lambda: waste_of_bookings(10, 0.1, 10_001),
        lambda: waste_of_bookings(10, 0.1, 10, 0),
        lambda: waste_of_stream(-1, 10),
        lambda: waste_of_stream(float("nan"), 10),
        lambda: waste_of_stream(float("inf"), 10),
        lambda: waste_of_stream(10, 10, 10_001),
    ],
)
def test_a_question_that_makes_no_sense_is_refused(ask):
    with pytest.raises(RecordError):
        ask()
