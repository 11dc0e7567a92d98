"""
When a vial is thawed and may be opened: made up, 2 h in the refrigerator and 10 min on the
table, or 50 min on the table.
"""

import pytest
from tests.vial.stories import SMALL, asked, found_codes, moment, story

from thawline.base.instants import read_instant
from thawline.vial.reckon import State
from thawline.vial.thawing import progress


def ready_at(at, *facts):
    return asked(at, *facts).ready_at


@pytest.mark.parametrize(
    ("out", "ready"),
    [("05:59:59.999", "06:49:59.999"), ("06:00", "06:10"), ("06:30", "06:40")],
    ids=["1 ms too early: a whole room thaw", "just thawed", "thawed for half an hour"],
)
def test_a_thaw_broken_before_its_time_starts_again_on_the_table(out, ready):
    assert ready_at("06:35", "04:00 to-fridge", f"{out} to-table") == moment(ready)


def test_a_broken_thaw_credits_nothing_however_often_it_is_tried():
    facts = ("04:00 to-fridge", "05:30 to-table", "05:40 to-fridge", "07:30 to-table")

    assert ready_at("07:31", *facts) == moment("08:20")


def test_a_room_thaw_that_was_broken_off_starts_again_in_the_refrigerator():
    facts = ("04:00 to-table", "04:49 to-fridge")

    assert asked("06:48", *facts).state is State.THAWING
    assert asked("06:49", *facts).state is State.CHILLED


def test_a_room_thaw_that_was_complete_stays_complete():
    facts = ("04:00 to-table", "04:50 to-fridge", "05:00 to-table")

    assert ready_at("05:01", *facts) == moment("05:10")


def test_carried_from_one_table_to_the_next_the_later_move_counts():
    assert ready_at("04:30", "04:00 to-table", "04:20 to-table") == moment("05:10")


def test_the_later_bound_of_a_move_counts_and_the_earlier_of_the_next():
    """In by 04:10 at the latest, out at 06:05 at the earliest: not certainly two hours."""
    facts = ("04:00-04:10 to-fridge", "06:05-06:15 to-table")

    assert ready_at("06:16", *facts) == moment("07:05")


def test_in_the_refrigerator_the_earliest_ready_time_moves_with_the_clock():
    assert ready_at("05:00", "04:00 to-fridge") == moment("06:10")
    assert ready_at("09:00", "04:00 to-fridge") == moment("09:10")


def test_in_the_freezer_nothing_is_ready():
    assert ready_at("12:00", "04:00 to-fridge", "07:00 to-freezer") is None
    assert ready_at("12:00", "03:00 to-freezer") is None


def test_a_unit_that_warmed_thaws_nothing():
    found = asked("12:00", "02:00 warmed", "11:00 to-table")

    assert (found.state, found.ready_at) == (State.WARMING, moment("11:50")) or (
        found.state,
        found.ready_at,
    ) == (State.READY, moment("11:50"))


def test_a_chilled_arrival_came_thawed():
    came = "as=chilled thawed_at=01:00 room_used_min=0 transport_used_min=0 trips_used=1"

    assert ready_at("06:01", f"05:00 arrive {came}", "06:00 to-table") == moment("06:10")


def test_a_chilled_arrival_whose_thaw_nobody_knows_starts_again():
    came = "as=chilled room_used_min=0 transport_used_min=0 trips_used=1"

    assert ready_at("05:30", f"05:00 arrive {came}", "05:20 to-table") == moment("06:10")


def test_after_opening_it_stays_what_it_was_for_the_first_opening():
    facts = ("04:00 to-fridge", "06:35 to-table", "07:00 open")

    assert ready_at("09:00", *facts) == moment("06:45")
    assert ready_at("09:00", *facts, "08:00 to-fridge") == moment("06:45")


def test_moves_in_the_night_of_the_clock_change_run_on_elapsed_time():
    """In at 00:30, the clocks skip from 02:00 to 03:00: thawed at 03:30 by the wall."""
    told = story("04:00 to-fridge")
    into = read_instant("2026-03-08T00:30:00-06:00")
    put = told.facts[0].__class__(told.facts[0].what, type(told.facts[0].when)(into, into))

    came = progress([put], SMALL.thaw, into)

    assert came.thawed_at == read_instant("2026-03-08T03:30:00-05:00")


def test_an_order_that_is_settled_again_is_no_question_any_more():
    facts = ("04:00-05:00 to-fridge", "04:30-04:45 to-table", "06:00 to-fridge")

    assert found_codes(asked("09:00", *facts)) == []
