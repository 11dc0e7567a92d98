"""
The thaw plan of a small morning, with made-up limits.

Expected chances go through every case; those of the worked example, which is that of
docs/background/thaw-plan.md, come from scipy.stats.binom.
"""

from datetime import timedelta
from itertools import product

import pytest
from hypothesis import given
from hypothesis import strategies as st

from thawline.base.errors import RecordError
from thawline.base.instants import read_instant
from thawline.plan.half_hours import HalfHour
from thawline.plan.thaw import OnHand, ThawRule, thaw_plan

NINE = read_instant("2026-02-03T09:00:00-06:00")
HALF_PAST = read_instant("2026-02-03T09:30:00-06:00")
RULE = ThawRule(
    doses_per_vial=10,
    in_fridge=timedelta(hours=2, minutes=30),
    on_table=timedelta(minutes=15),
    straight=timedelta(hours=1),
)
SMALL = ThawRule(3, timedelta(hours=2), timedelta(minutes=10), timedelta(hours=1))


def _morning(nine, half_past, comes=1.0):
    return (HalfHour(NINE, (comes,) * nine), HalfHour(HALF_PAST, (comes,) * half_past))


def _plan(half_hours, service=0.95, on_hand=None, rule=RULE):
    return thaw_plan(half_hours, rule, service, on_hand or OnHand())


def test_the_worked_example_of_the_background_page():
    plan = _plan(_morning(11, 5, comes=0.9))

    first, second = plan.needs
    assert (first.to_table, second.to_table) == (2, 0)
    assert first.people_so_far.high == 11
    assert second.people_so_far.high == 16
    fewer, planned, _ = plan.one_vial
    assert fewer.chance_short == pytest.approx(0.9967, abs=5e-5)
    assert fewer.expected_turned_away == pytest.approx(4.4006, abs=5e-5)
    assert planned.expected_left_over == pytest.approx(5.6, abs=1e-9)


def test_people_sure_to_come_need_whole_vials():
    plan = _plan(_morning(12, 9))

    assert [need.vials_so_far for need in plan.needs] == [2, 3]
    assert [need.to_table for need in plan.needs] == [2, 1]
    assert plan.planned_vials == 3


@pytest.mark.parametrize(
    ("booked", "vials"), [(0, 0), (1, 1), (9, 1), (10, 1), (11, 2), (20, 2)]
)
def test_the_tenth_person_still_finds_a_dose_in_the_first_vial(booked, vials):
    assert _plan([HalfHour(NINE, (1.0,) * booked)]).planned_vials == vials


def test_the_latest_safe_moments_come_before_the_half_hour_starts():
    need = _plan(_morning(12, 9)).needs[0]

    assert need.fridge_by == read_instant("2026-02-03T06:15:00-06:00")
    assert need.table_by == read_instant("2026-02-03T08:45:00-06:00")
    assert need.straight_by == read_instant("2026-02-03T08:00:00-06:00")


@pytest.mark.parametrize(
    ("ready", "to_table"),
    [(0, [2, 1]), (1, [2, 0]), (2, [1, 1]), (11, [1, 0]), (12, [0, 1]), (21, [0, 0])],
)
def test_doses_that_are_ready_already_are_taken_off(ready, to_table):
    plan = _plan(_morning(12, 9), on_hand=OnHand(ready_doses=ready))

    assert [need.to_table for need in plan.needs] == to_table


def test_chilled_vials_still_go_to_the_table_but_not_to_the_fridge():
    plan = _plan(_morning(22, 9), on_hand=OnHand(chilled_vials=2))

    assert [need.to_table for need in plan.needs] == [3, 1]
    assert [need.to_fridge for need in plan.needs] == [1, 1]


def test_more_on_hand_than_needed_moves_nothing():
    plan = _plan(_morning(3, 3), on_hand=OnHand(ready_doses=50, chilled_vials=4))

    assert [(need.to_table, need.to_fridge) for need in plan.needs] == [(0, 0), (0, 0)]
    assert [outcome.vials for outcome in plan.one_vial] == [0, 1]


def test_a_day_without_bookings_needs_nothing():
    plan = _plan([])

    assert (plan.needs, plan.booked, plan.planned_vials) == ((), 0, 0)
    assert plan.chance_short_once == 0


@pytest.mark.parametrize("service", [0.49, 1.0, 1.5, float("nan")])
def test_a_service_level_under_one_half_or_of_certainty_is_refused(service):
    with pytest.raises(RecordError, match="service level"):
        _plan(_morning(3, 3), service)


def test_one_vial_more_or_less_is_priced_beside_the_plan():
    fewer, planned, more = _plan(_morning(12, 9)).one_vial

    assert [fewer.vials, planned.vials, more.vials] == [2, 3, 4]
    assert [fewer.expected_turned_away, planned.expected_turned_away] == [1, 0]
    assert [planned.expected_left_over, more.expected_left_over] == [9, 19]


HALF_HOURS = st.lists(st.lists(st.floats(0, 1), max_size=4), min_size=1, max_size=3)


@given(HALF_HOURS, st.floats(0.5, 0.99), st.integers(0, 5))
def test_running_short_once_is_counted_case_by_case(chances, service, ready):
    hours = [
        HalfHour(NINE + i * timedelta(minutes=30), tuple(row)) for i, row in enumerate(chances)
    ]
    plan = _plan(hours, service, OnHand(ready_doses=ready), SMALL)
    doses = [ready + 3 * need.vials_so_far for need in plan.needs]

    short = 0.0
    for comes in product([False, True], repeat=sum(map(len, chances))):
        told, so_far, weight, ran_out = iter(comes), 0, 1.0, False
        for row, enough in zip(chances, doses, strict=True):
            for chance in row:
                did = next(told)
                so_far += did
                weight *= chance if did else 1 - chance
            ran_out = ran_out or so_far > enough
        short += weight * ran_out

    assert plan.chance_short_once == pytest.approx(short, abs=1e-12)


@given(HALF_HOURS, st.floats(0.5, 0.99), st.floats(0.5, 0.99))
def test_a_higher_service_level_never_moves_fewer_vials_nor_runs_short_oftener(
    chances, one, other
):
    hours = [
        HalfHour(NINE + i * timedelta(minutes=30), tuple(row)) for i, row in enumerate(chances)
    ]
    careless, careful = (_plan(hours, service) for service in sorted([one, other]))

    for less, more in zip(careless.needs, careful.needs, strict=True):
        assert less.vials_so_far <= more.vials_so_far
    assert careful.chance_short_once <= careless.chance_short_once + 1e-12


@given(HALF_HOURS, st.floats(0.5, 0.99))
def test_every_half_hour_holds_the_promise_and_no_vial_moves_back(chances, service):
    hours = [
        HalfHour(NINE + i * timedelta(minutes=30), tuple(row)) for i, row in enumerate(chances)
    ]
    plan = _plan(hours, service, rule=SMALL)

    assert all(need.chance_short <= 1 - service for need in plan.needs)
    assert all(need.to_table >= 0 and need.to_fridge >= 0 for need in plan.needs)
    assert sum(need.to_table for need in plan.needs) == plan.planned_vials


@given(HALF_HOURS, st.floats(0.5, 0.99))
def test_low_likely_and_high_stand_in_order(chances, service):
    people = _plan([HalfHour(NINE, tuple(row)) for row in chances], service).people

    assert people.low <= people.likely <= people.high
