"""
The rolling thaw at a site, by the cast's made-up protocol, from its own record.

8 doses a vial, 2 hours in the refrigerator, then 10 minutes; straight to the table 50 minutes.
"""

from dataclasses import replace
from datetime import date, time, timedelta

import pytest
from tests.app.test_plans import _book, _give
from tests.cast import CHICAGO, a_day, at

from thawline.app.in_force import in_force
from thawline.app.plans import Ask, Given, Slot, plan_for_site, plan_for_slots
from thawline.app.rolling import AskRolling, rolling_for_site, rolling_for_slots
from thawline.plan.no_show import by_hand
from thawline.plan.rolling import Moves
from thawline.plan.thaw import OnHand
from thawline.store.nights import Hours

TUESDAY, WEDNESDAY = date(2026, 2, 3), date(2026, 2, 4)
STEADY = AskRolling(day_spread=0.0, days=50)


def _roll(day, share=0.0, how=STEADY, on=TUESDAY):
    no_show = None if share is None else by_hand(share)
    ask = Ask(day.now, on, 0.95, no_show)
    return rolling_for_site(day.site, plan_for_site(day.site, ask), ask, how)


def test_now_is_moved_what_must_be_ready_until_the_next_asking_is():
    day = a_day()
    _book(day, 9, at("09:00"))
    _book(day, 40, at("11:00"), first=10)
    day.now = at("06:50")

    found = _roll(day)

    # asked again 07:20, ready 09:30: nine people, two vials
    assert found.moves == Moves(to_fridge=2, to_table=0, straight=0)
    assert found.targets[0].at == at("06:50")


def test_too_late_for_the_fridge_a_vial_goes_straight():
    day = a_day()
    _book(day, 9, at("09:00"))
    day.now = at("08:00")

    assert _roll(day).moves == Moves(to_fridge=0, to_table=0, straight=2)


def test_who_stayed_away_this_morning_says_something_of_the_afternoon():
    day = a_day()
    _book(day, 100, at("08:00"))
    _book(day, 100, at("14:00"), first=101)
    _give(day, 1, 55, at("08:10"))
    day.now = at("11:50")

    bad = _roll(day, 0.2, replace(STEADY, day_spread=0.1))
    alike = _roll(day, 0.2)

    assert bad.came == 55
    # mean 0.2, sd 0.1: a beta of 3 and 12; then 48 of 115
    assert bad.no_show_today == pytest.approx(48 / 115, abs=1e-7)
    assert alike.no_show_today == pytest.approx(0.2)
    assert [finding.code for finding in bad.findings] == ["fewer-came-than-usual"]
    assert alike.findings == ()
    assert bad.targets[0].people < alike.targets[0].people


def test_late_people_still_count_where_people_came_late_before():
    day = a_day()
    _book(day, 4, at("09:00", 2))
    _give(day, 1, 3, at("09:45", 2))
    _book(day, 20, at("09:00"), first=11)
    _book(day, 1, at("15:00"), first=40)
    day.now = at("09:50")

    found = _roll(day, None, AskRolling(days=50))

    assert found.shifts.shares == {1: 1.0}
    assert found.targets[0].people > 10
    assert "too few days" in found.spread.says


def test_a_place_is_late_only_a_while_after_its_half_hour():
    day = a_day()
    _book(day, 8, at("09:00"))
    _book(day, 1, at("15:00"), first=20)

    day.now = at("09:40")
    still = _roll(day).targets[0].people
    day.now = at("09:46")

    assert (still, _roll(day).targets[0].people) == (8, 0)


def test_walk_ups_are_learned_from_bookings_written_down_on_the_spot():
    day = a_day()
    day.now = at("09:02")
    _book(day, 6, at("09:00"))
    _give(day, 1, 6, at("09:02"))
    _book(day, 5, at("09:00", 4), first=11)

    found = _roll(day, 0.0, on=WEDNESDAY)

    assert set(found.walk_ups.mean) == {time(9)}
    assert found.walk_ups.mean[time(9)] == pytest.approx(21.064 / 2, abs=5e-4)  # printed table


def test_told_walk_ups_come_on_top():
    day = a_day()
    _book(day, 8, at("09:00"))
    day.now = at("06:50")

    alone = _roll(day)
    walked = _roll(day, how=replace(STEADY, walk_ups_an_hour=4.0))

    assert alone.targets[0].people == 8
    assert walked.targets[0].people == 13  # Poisson of mean 2: 0.947 up to 4, 0.983 to 5


def test_the_rules_are_played_on_the_same_days_for_the_same_seed():
    day = a_day()
    for number, slot in enumerate(("09:00", "10:00", "11:00", "13:00")):
        _book(day, 30, at(slot), first=1 + 30 * number)

    how = replace(STEADY, day_spread=0.05, days=300)
    once, again = (_roll(day, 0.1, how).played for _ in range(2))

    assert once == again
    everybody, mean, _, rolling = once
    assert (everybody.vials.value, mean.vials.value) == (15, 14)
    assert rolling.surplus.value < everybody.surplus.value
    assert rolling.none_ready.value < mean.none_ready.value


def test_from_a_file_nothing_is_learned_and_the_spread_is_the_widest():
    slots = [Slot(at("09:00"), "") for _ in range(20)]
    day = a_day()
    with day.site.ledger.view() as view:
        known = in_force(day.site, view, day.now)
    ask = Ask(at("20:00", 2), None, 0.95, by_hand(0.1))
    given = Given(CHICAGO, OnHand(), None)
    planned = plan_for_slots(slots, ask, lambda _: (known.protocol, known.ref), given)

    found = rolling_for_slots(planned, ask, AskRolling(days=50))

    assert "taken as widest" in found.spread.says
    assert found.targets[0].at == at("06:30")
    assert found.targets[-1].at - found.targets[0].at < timedelta(hours=3)


def test_bookings_when_nobody_is_there_are_a_finding_of_the_plan():
    day = a_day()
    _book(day, 2, at("21:00"))
    site = replace(day.site, night=Hours(time(20), time(7)))

    found = plan_for_site(site, Ask(day.now, TUESDAY, 0.95, by_hand(0.0)))

    assert "outside-opening-hours" in {finding.code for finding in found.findings}
