"""Days of thawing played by rules: days small enough to follow by hand, and theory."""

import numpy as np
import pytest
from scipy.stats import betabinom, binom

from thawline.base.errors import RecordError
from thawline.plan.day_kinds import DaySpread
from thawline.plan.thaw_days import (
    DrawnDays,
    ThawDay,
    at_once,
    came_to,
    drawn_days,
    enough,
    for_all_bookings,
    for_the_mean,
    rolling,
    the_night_before,
)

SURE = DaySpread(0.0, 0.0)


def _day(booked, no_show=SURE, *, lead=1, again=1, walk_ups=0.0):
    return ThawDay(np.array(booked), walk_ups, no_show, 10, lead, again)


def _come(*days):
    people = np.array(days)
    return DrawnDays(people, np.zeros_like(people))


def test_people_who_find_no_dose_ready_are_counted_though_vials_come_later():
    def late(*_):
        return np.array([[1, 1, 3], [1, 1, 3]])

    seen = came_to("late", late, _day([8, 8, 8]), _come([8, 8, 8], [8, 8, 8]), (9, 0.5))

    # 10 doses for 16 people after two slots: 6 find none; then 30 for 24, 6 left, none whole
    assert seen.none_ready.value == 6
    assert (seen.without.value, seen.surplus.value) == (0, 0)
    assert seen.price.value == 54


def test_somebody_who_found_none_ready_is_counted_once_however_long_they_wait():
    def late(*_):
        return np.array([[1, 1, 1, 2], [1, 1, 1, 2]])

    come = [12, 3, 0, 0]
    seen = came_to("late", late, _day(come), _come(come, come), (1, 1))

    assert seen.none_ready.value == 5  # two of the first twelve, and the three after them


def test_whole_vials_left_over_are_surplus_and_who_is_short_at_the_close_has_none():
    days = _come([3, 3, 3], [20, 0, 12])
    seen = came_to("two", at_once(2), _day([20, 8, 12]), days, (9, 1))

    # 9 of 20 doses: one whole vial left; 32 people for 20 doses: 12 without, all at the end
    assert seen.surplus.value == 5
    assert (seen.without.value, seen.none_ready.value) == (6, 6)
    assert seen.price.value == pytest.approx((10 + 9 * 12) / 2)


def test_people_sure_to_come_are_never_short_when_the_plan_is_asked_each_slot():
    day = _day([7, 9, 4, 12, 3], lead=2)
    vials = rolling(0.95)(day, _come([7, 9, 4, 12, 3]))

    assert vials.tolist() == [[1, 2, 2, 4, 4]]


def test_a_lead_longer_than_the_day_moves_everything_before_it():
    day = _day([7, 9], lead=40, again=6)

    assert rolling(0.95)(day, _come([7, 9])).tolist() == [[2, 2]]


def test_enough_is_the_beta_binomial_quantile():
    spread = DaySpread(0.08, 0.03)
    day = _day([40] * 60, spread)

    whole = enough(day, np.array([0]), (0, 60), 0, 0.99)
    after = enough(day, np.array([700, 760]), (20, 40), 800, 0.99)

    assert whole == betabinom.ppf(0.99, 2400, 74.315556, 6.462222)
    assert after[0] == betabinom.ppf(0.99, 800, 774.315556, 106.462222)
    assert after[1] == betabinom.ppf(0.99, 800, 834.315556, 46.462222)


def test_walk_ups_need_doses_too():
    without = enough(_day([10, 10]), np.array([0]), (0, 2), 0, 0.95)
    beside = enough(_day([10, 10], walk_ups=2.0), np.array([0]), (0, 2), 0, 0.95)

    assert (without[0], beside[0]) == (20, 28)  # Poisson of mean 4: 0.949 up to 7, 0.979 to 8


def test_the_plain_rules_are_counted_by_hand():
    day = _day([40] * 6, DaySpread(0.08, 0.0), walk_ups=1.0)

    assert for_all_bookings(day) == 24
    assert for_the_mean(day) == 23  # 240 * 0.92 + 6 = 226.8
    assert the_night_before(_day([40] * 6, DaySpread(0.08, 0.0)), 0.99) == -(
        -binom.ppf(0.99, 240, 0.92) // 10
    )


def test_the_same_seed_draws_the_same_days_of_the_right_mean_and_spread():
    day = _day([40] * 60, DaySpread(0.08, 0.03), walk_ups=0.5)
    days = drawn_days(day, 4000, np.random.default_rng(5))
    again = drawn_days(day, 4000, np.random.default_rng(5))
    booked = days.booked.sum(axis=1)

    assert (again.so_far == days.so_far).all()
    assert abs(booked.mean() - 2208) < 4 * 73.2 / np.sqrt(4000)
    assert booked.std() == pytest.approx(73.2, abs=4 * 73.2 / np.sqrt(8000))
    assert abs(days.walking.sum(axis=1).mean() - 30) < 4 * np.sqrt(30 / 4000)


def test_a_day_without_slots_or_one_day_alone_is_refused():
    with pytest.raises(RecordError, match="slots"):
        _day([])
    with pytest.raises(RecordError, match="days to play"):
        drawn_days(_day([1]), 1, np.random.default_rng(1))
