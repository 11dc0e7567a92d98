"""Stays that count against a limit: cut, joined and added up, with made-up times of one day."""

from datetime import timedelta

import pytest
from tests.cast import at

from thawline.vial.stays import Stay, cut, reached, union, used

SIX, HALF_PAST, SEVEN, EIGHT, NINE = (
    at(clock) for clock in ("06:00", "06:30", "07:00", "08:00", "09:00")
)


def test_a_stay_that_ended_before_is_left_as_it_is_and_a_later_one_is_left_out():
    stays = [Stay(SIX, HALF_PAST), Stay(SEVEN, None), Stay(SEVEN, NINE), Stay(EIGHT, NINE)]

    assert cut(stays, EIGHT) == [
        Stay(SIX, HALF_PAST),
        Stay(SEVEN, EIGHT),
        Stay(SEVEN, EIGHT),
    ]


def test_without_an_instant_nothing_is_cut():
    assert cut([Stay(SIX, None)], None) == [Stay(SIX, None)]


@pytest.mark.parametrize(
    ("stays", "joined"),
    [
        ([Stay(SEVEN, EIGHT), Stay(SIX, SEVEN)], [Stay(SIX, EIGHT)]),
        ([Stay(SIX, NINE), Stay(SEVEN, EIGHT)], [Stay(SIX, NINE)]),
        ([Stay(SIX, SEVEN), Stay(EIGHT, NINE)], [Stay(SIX, SEVEN), Stay(EIGHT, NINE)]),
        ([Stay(SIX, SEVEN), Stay(HALF_PAST, None)], [Stay(SIX, None)]),
        ([Stay(SIX, None), Stay(SEVEN, EIGHT)], [Stay(SIX, None)]),
    ],
    ids=["touching", "inside", "apart", "still running", "running already"],
)
def test_no_minute_is_counted_twice(stays, joined):
    assert union(stays) == joined


def test_time_used_runs_up_to_the_instant_and_no_further():
    stays = [Stay(SIX, HALF_PAST), Stay(SEVEN, None), Stay(NINE, None)]

    assert used(stays, EIGHT) == timedelta(minutes=90)
    assert used(stays, SIX) == timedelta(0)


def test_a_budget_is_reached_in_the_stay_that_uses_its_last_minute():
    stays = [Stay(SIX, HALF_PAST), Stay(SEVEN, EIGHT)]

    assert reached(stays, timedelta(minutes=30)) == HALF_PAST
    assert reached(stays, timedelta(minutes=90)) == EIGHT
    assert reached(stays, timedelta(minutes=91)) is None
