"""Places at one site: nobody early, and no better plan exists. Figures made up."""

import itertools
from datetime import date

import numpy as np
import pytest
from tests.plan.instances import FIRST, instance, least_cost

from thawline.base.errors import RecordError
from thawline.plan.places import Waiting, placed_at_site


def _waiting(*windows):
    return Waiting(*(np.array(ends, dtype=np.int64) for ends in zip(*windows, strict=True)))


def _days(found):
    return [
        int(day) if has else None for day, has in zip(found.day, found.has_place, strict=True)
    ]


def test_everybody_comes_on_their_day_while_there_are_places():
    due = date(2026, 3, 3).toordinal()

    found = placed_at_site(_waiting((due, due + 4), (due, due + 4)), due - 1, np.array([9, 2]))

    assert _days(found) == [due, due]


def test_nobody_comes_before_their_day_though_places_are_free():
    found = placed_at_site(_waiting((12, 20)), 10, np.array([5, 5, 1, 5]))

    assert _days(found) == [12]


def test_on_a_full_day_the_one_who_may_wait_least_comes_first():
    found = placed_at_site(_waiting((10, 30), (10, 11)), 10, np.array([1, 0, 1]))

    assert _days(found) == [12, 10]


def test_with_one_window_for_all_it_is_first_come_first_served():
    found = placed_at_site(_waiting((10, 24), (9, 23), (10, 24)), 10, np.array([1, 1, 1]))

    assert _days(found) == [11, 10, 12]


def test_who_is_placed_too_late_is_named_the_longest_overrun_first():
    waiting = _waiting((10, 10), (10, 11), (10, 12))
    found = placed_at_site(waiting, 10, np.array([0, 0, 0, 0, 1, 1, 1]))

    assert _days(found) == [14, 15, 16]
    assert found.late(waiting).tolist() == [0, 1, 2]


def test_without_places_left_there_is_none():
    found = placed_at_site(_waiting((10, 12), (11, 13)), 10, np.array([1]))

    assert _days(found) == [10, None]


def test_nobody_waiting_is_no_trouble():
    empty = np.zeros(0, dtype=np.int64)

    assert _days(placed_at_site(Waiting(empty, empty), 10, np.array([3]))) == []


def _can_all_be_in_time(waiting, capacity):
    """Try every order of handing out single places; small instances only."""
    places = [FIRST + day for day, count in enumerate(capacity) for _ in range(count)]
    people = range(len(waiting.earliest))
    return any(
        all(
            waiting.earliest[who] <= day <= waiting.latest[who]
            for who, day in zip(people, days, strict=True)
        )
        for days in itertools.permutations(places, len(people))
    )


def test_it_finds_a_plan_in_time_wherever_there_is_one():
    dice, found_plans = np.random.default_rng(28), 0
    for _ in range(150):
        people = int(dice.integers(1, 5))
        earliest = FIRST + dice.integers(0, 4, people)
        waiting = Waiting(earliest, earliest + dice.integers(0, 4, people))
        capacity = dice.integers(0, 3, 5)
        found = placed_at_site(waiting, FIRST, capacity)
        in_time = found.has_place.all() and not found.late(waiting).size
        assert in_time == _can_all_be_in_time(waiting, capacity)
        found_plans += in_time
    assert 20 < found_plans < 130  # both answers were asked for


def _broken_laws(made, found):
    """Return what is wrong with a plan: somebody early, or a day overfull."""
    placed, capacity = found.has_place, made.region.capacity[0]
    day = found.day[placed]
    on_each = np.bincount(day - FIRST, minlength=len(capacity))
    return bool((day < made.waiting.earliest[placed]).any() or (on_each > capacity).any())


@pytest.mark.parametrize("seed", range(4))
def test_no_plan_is_early_or_overfull_and_none_waits_less(seed):
    """With one window for all the cost is the flow optimum of an independent library."""
    dice = np.random.default_rng(seed)
    for _ in range(100):
        made = instance(dice, window=20)
        found = placed_at_site(made.waiting, FIRST, made.region.capacity[0])
        waited = int((found.day - made.waiting.earliest)[found.has_place].sum())
        cost, placed = least_cost(made)
        assert not _broken_laws(made, found)
        assert placed == found.has_place.sum()
        assert waited >= cost  # who is placed may differ when not all can be
        assert waited == cost or placed < len(made.home)


def test_a_window_that_ends_before_it_begins_is_refused():
    with pytest.raises(RecordError, match="person 1"):
        _waiting((10, 12), (10, 9))


def test_a_capacity_below_zero_is_refused():
    with pytest.raises(RecordError, match="day 1"):
        placed_at_site(_waiting((10, 12)), 10, np.array([1, -1]))


def test_two_lists_of_unequal_length_are_refused():
    with pytest.raises(RecordError, match="1 earliest and 2 latest"):
        Waiting(np.array([1]), np.array([2, 3]))
