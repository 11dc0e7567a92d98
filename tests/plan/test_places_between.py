"""Places at several sites: beside network simplex, one node a person. Figures made up."""

import numpy as np
import pytest
from tests.plan.instances import FIRST, instance, least_cost

from thawline.base.errors import RecordError
from thawline.plan.places import Waiting
from thawline.plan.places_between import Region, placed_between_sites

NEVER = np.inf


def _ask(windows, home, may_move, capacity, moves):
    ends = np.array(windows, dtype=np.int64).reshape(-1, 2)
    waiting = Waiting(ends[:, 0], ends[:, 1])
    region = Region(FIRST, np.array(capacity), np.array(moves, dtype=float))
    return placed_between_sites(waiting, _whole(home), np.array(may_move, dtype=bool), region)


def _whole(numbers):
    return np.array(numbers, dtype=np.int64)


def test_a_short_way_beats_a_long_wait():
    windows = [(FIRST, FIRST + 9)] * 2

    found = _ask(windows, [0, 0], [True, True], [[1, 0, 0, 0, 0, 1], [1] * 6], [[0, 3], [3, 0]])

    assert sorted(zip(found.site.tolist(), found.day.tolist(), strict=True)) == [
        (0, FIRST),
        (1, FIRST),
    ]
    assert found.cost == 3


def test_a_short_wait_beats_a_long_way():
    found = _ask([(FIRST, FIRST + 9)], [0], [True], [[0, 0, 1], [1, 0, 0]], [[0, 3], [3, 0]])

    assert (found.site[0], found.day[0], found.cost) == (0, FIRST + 2, 2)


@pytest.mark.parametrize(
    ("may", "moves"), [(False, [[0, 1], [1, 0]]), (True, [[0, NEVER], [1, 0]])]
)
def test_who_cannot_go_elsewhere_has_no_place_rather_than_one_there(may, moves):
    found = _ask([(FIRST, FIRST + 1)], [0], [may], [[0, 0], [5, 5]], moves)

    assert not found.has_place[0]


def test_nobody_is_placed_outside_their_window():
    found = _ask([(FIRST + 1, FIRST + 1)], [0], [True], [[5, 0, 5]], [[0]])

    assert not found.has_place[0]


@pytest.mark.parametrize("capacity", [[[1, 0]], [[0, 0]]], ids=["room", "none"])
def test_where_nobody_waits_nobody_is_placed_and_it_costs_nothing(capacity):
    found = _ask([], [], [], capacity, [[0]])

    assert (found.has_place.shape, found.site.shape, found.day.shape) == ((0,), (0,), (0,))
    assert found.cost == 0


def test_where_every_day_is_closed_somebody_waits_without_a_place():
    found = _ask([(FIRST, FIRST + 1)], [0], [True], [[0, 0]], [[0]])

    assert (found.has_place.tolist(), found.cost) == ([False], 0)


@pytest.mark.parametrize("seed", range(4))
def test_no_cheaper_plan_exists(seed):
    dice = np.random.default_rng(100 + seed)
    for _ in range(40):
        made = instance(dice, sites=int(dice.integers(1, 4)))
        found = placed_between_sites(made.waiting, made.home, made.may_move, made.region)
        placed = found.has_place
        assert (found.cost, placed.sum()) == pytest.approx(least_cost(made))
        assert (found.day >= made.waiting.earliest)[placed].all()
        assert (found.day <= made.waiting.latest)[placed].all()
        cells = np.zeros(made.region.capacity.shape, dtype=int)
        np.add.at(cells, (found.site[placed], found.day[placed] - FIRST), 1)
        assert (cells <= made.region.capacity).all()


@pytest.mark.parametrize(
    ("capacity", "moves"),
    [([[1, -1]], [[0]]), ([[1], [1]], [[0]])],
    ids=["below zero", "moves"],
)
def test_a_region_that_does_not_fit_is_refused(capacity, moves):
    with pytest.raises(RecordError, match="capacit"):
        Region(FIRST, np.array(capacity), np.array(moves, dtype=float))
