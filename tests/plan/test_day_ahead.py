"""The waits and doses of a staffed day, by hand: constant turns, everybody on time."""

import numpy as np
import pytest
from tests.plan.clinic_days import day, minutes, station

from thawline.plan.day_ahead import doses_by, expected_by, waits_min
from thawline.plan.flow import followed_days
from thawline.plan.same_days import Late, late_by_staffing


def test_the_waits_of_a_line_at_one_desk_are_its_turns():
    # Four people at opening, turns of ten minutes: waits 0, 10, 20, 30. So a quarter waits no
    # time, half at most 10, three quarters at most 20, all at most 30.
    clinic = day([4])

    found = waits_min(
        (0.2, 0.5, 0.75, 0.99),
        lambda limit: late_by_staffing(clinic, [((1,),)], 0, (0, 2), limit),
    )

    assert found[0] == pytest.approx((0, 10, 20, 30), abs=1)
    assert found[1:] == (None,) * (len(found) - 1)


def test_between_two_minutes_lies_a_straight_line():
    # 40 % wait 10 min at most, 60 % 11 min: so half wait less than 10 min 30 s.
    def play(limit):
        late = 100.0 if limit < minutes(10) else 60.0 if limit < minutes(11) else 40.0
        return Late(np.full((1, 1), 100.0), np.full((1, 1, 1), late))

    assert waits_min((0.5,), play)[0] == pytest.approx((10.5,))


def test_waits_beyond_an_hour_are_found_in_steps_of_five_minutes():
    def play(limit):
        late = 100.0 if limit < minutes(73) else 0.0
        return Late(np.full((1, 1), 100.0), np.full((1, 1, 1), late))

    assert 70 <= waits_min((0.5,), play)[0][0] <= 75


def test_doses_count_when_their_turn_begins_at_the_last_station():
    # Six people at opening: one turn every ten minutes; begun 0, 10, 20 | 30, 40, 50.
    outcome = followed_days(day([6]), 0, (0, 3), minutes(20))

    found = doses_by(outcome, (0.05, 0.5, 0.95))

    assert found[0] == (3, 3, 3)
    assert found[1] == (6, 6, 6)
    assert found[-1] == (6, 6, 6)


def test_whoever_is_expected_counts_in_the_half_hour_of_their_place():
    # Slots of ten minutes: 2 + 0 + 4 in the first half hour, 6 after; a quarter stays away.
    clinic = day([2, 0, 4, 6], station(), no_show=0.25, walk_ups=(0.5, 0, 0, 1))

    assert expected_by(clinic, 3) == pytest.approx((5.0, 10.5, 10.5))
