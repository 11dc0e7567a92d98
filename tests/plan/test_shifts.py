"""Shifts with a break that cover a station's need: small cases counted by hand."""

import pytest

from thawline.base.errors import RecordError
from thawline.plan.shifts import Shift, ShiftRule, shifts

FOUR = ShiftRule(length=4, pause_from=1, pause_until=2)


def at_work(plan, halves):
    """Return how many work in each half hour."""
    return [
        sum(s.people for s in plan if s.starts <= half < s.ends and half != s.pause)
        for half in range(halves)
    ]


def test_one_person_all_the_time_takes_two_because_of_the_break():
    plan = shifts([1, 1, 1, 1], FOUR)

    assert sum(shift.people for shift in plan) == 2
    assert min(at_work(plan, 4)) >= 1


def test_a_need_that_leaves_room_for_the_break_takes_one():
    assert shifts([1, 0, 1, 1], FOUR) == (Shift(1, 0, 4, 1),)


def test_a_rush_is_covered():
    needed = [1, 1, 1, 3, 3, 1, 1, 1]

    has = at_work(shifts(needed, FOUR), 8)

    assert all(there >= wanted for there, wanted in zip(has, needed, strict=True))


def test_a_day_shorter_than_a_shift_is_worked_as_long_as_it_is():
    (shift,) = shifts([1, 0], FOUR)

    assert (shift.starts, shift.ends) == (0, 2)


def test_a_day_too_short_for_a_break_has_none():
    assert shifts([2], FOUR) == (Shift(2, 0, 1, None),)


def test_nobody_needed_is_a_question():
    with pytest.raises(RecordError, match="nobody is needed"):
        shifts([0, 0], FOUR)


def test_a_break_outside_its_shift_is_refused():
    with pytest.raises(RecordError, match="a break from half hour 3"):
        ShiftRule(length=4, pause_from=3, pause_until=4)


def test_a_need_that_no_shift_can_cover_is_said():
    with pytest.raises(RecordError, match="no shifts cover the day"):
        shifts([1], ShiftRule(4, 0, 0))  # its only half hour is the break
