"""Late moves, and what one vial too many costs. Made-up limits, but for the shipped file."""

from datetime import timedelta

import msgspec
import pytest

from thawline.adapters.rule_files import load
from thawline.base.durations import Allowance
from thawline.base.instants import Instant, read_instant
from thawline.plan.half_hours import HalfHour
from thawline.plan.moves import before_the_first, cost_in_words, keeps, late_moves
from thawline.plan.thaw import OnHand, ThawRule, thaw_plan, thaw_rule

RULES = load("example-10-v2").protocol
TEN = read_instant("2026-02-03T10:00:00-06:00")
SECOND = timedelta(seconds=1)


def _plan(on_hand=None, half_hours=1, rule=None):
    hours = [
        HalfHour(Instant(TEN + i * timedelta(minutes=30)), (1.0,) * 10)
        for i in range(half_hours)
    ]
    return thaw_plan(hours, rule or thaw_rule(RULES), 0.95, on_hand or OnHand())


def _codes(at, on_hand=None):
    return [finding.code for finding in late_moves(_plan(on_hand), at, RULES)]


def test_the_rule_is_that_of_the_protocol():
    need = _plan().needs[0]

    assert TEN - need.table_by == RULES.thaw.refrigerator.then_room.longest()
    assert need.table_by - need.fridge_by == RULES.thaw.refrigerator.takes.longest()
    assert TEN - need.straight_by == RULES.thaw.room.takes.longest()


def test_at_the_latest_safe_moment_for_the_fridge_nothing_is_late():
    need = _plan().needs[0]

    assert _codes(need.fridge_by) == []
    assert _codes(Instant(need.fridge_by + SECOND)) == ["too-late-for-fridge"]


def test_after_the_latest_moment_for_a_room_thaw_the_vials_are_not_ready_in_time():
    need = _plan().needs[0]

    assert _codes(need.straight_by) == ["too-late-for-fridge"]
    assert _codes(Instant(need.straight_by + SECOND)) == ["not-ready-in-time"]


def test_a_chilled_vial_is_late_only_for_the_table():
    need = _plan().needs[0]
    chilled = OnHand(chilled_vials=1)

    assert _codes(need.table_by, chilled) == []
    assert _codes(Instant(need.table_by + SECOND), chilled) == ["late-to-table"]


def test_late_vials_of_several_half_hours_are_one_finding_with_their_number():
    plan = _plan(half_hours=3)
    [finding] = late_moves(plan, plan.needs[1].straight_by, RULES)[1:]

    assert finding.says.startswith("2 vials too late for the fridge")


def test_half_hours_without_moves_are_never_late():
    assert _codes(Instant(TEN + SECOND), OnHand(ready_doses=10)) == []


def test_vials_wanted_in_the_fridge_before_the_doors_are_counted():
    three_hours = timedelta(hours=2, minutes=45)
    exactly_three_hours = ThawRule(10, three_hours, timedelta(minutes=15), timedelta(hours=1))

    assert before_the_first(_plan(half_hours=7)) == 6
    assert before_the_first(_plan(half_hours=7, rule=exactly_three_hours)) == 6
    assert before_the_first(thaw_plan([], thaw_rule(RULES), 0.95, OnHand())) == 0


def test_a_vial_keeps_by_the_shortest_clock_that_the_step_starts():
    clocks = RULES.clocks
    shorter = msgspec.structs.replace(clocks["open"], allows=Allowance(0, timedelta(minutes=1)))
    rules = msgspec.structs.replace(RULES, clocks={**clocks, "open-2": shorter})

    assert keeps(rules).opened.allows == timedelta(minutes=1)
    assert keeps(rules).thawed.allows == clocks["chilled"].allows.longest()


def test_thawing_one_too_many_is_cheap_where_chilled_keeps_longest():
    says = cost_in_words(keeps(RULES))

    assert "cheap" in says
    assert RULES.clocks["chilled"].item in says
    assert RULES.clocks["open"].item in says


def test_thawing_one_too_many_is_dear_where_chilled_keeps_no_longer_than_open():
    brief = msgspec.structs.replace(RULES.clocks["chilled"], allows=RULES.clocks["open"].allows)
    rules = msgspec.structs.replace(RULES, clocks={**RULES.clocks, "chilled": brief})

    assert "thawed too many is dear" in cost_in_words(keeps(rules))


@pytest.mark.parametrize("missing", ["chilled", "open"])
def test_a_protocol_without_the_clock_says_that_it_is_not_known(missing):
    clocks = {name: clock for name, clock in RULES.clocks.items() if name != missing}
    rules = msgspec.structs.replace(RULES, clocks=clocks)

    assert "does not say" in cost_in_words(keeps(rules))
