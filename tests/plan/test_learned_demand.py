"""
What earlier days teach: counted by hand; the limit of a Poisson mean by printed chi square.

Chi square at 90 %: 4.605 with 2 degrees, 13.362 with 8 (any printed table).
"""

from datetime import date, time

import pytest

from thawline.plan.day_kinds import widest
from thawline.plan.learned_demand import earlier
from thawline.plan.no_show import Visit

NINE, HALF_PAST = time(9), time(9, 30)
MONDAY, TUESDAY, SUNDAY = date(2026, 2, 2), date(2026, 2, 3), date(2026, 2, 1)


def _visits(day, came, missed, walked=0, shift=0):
    return [
        *(Visit(day, NINE, walk_up=False, shift=shift) for _ in range(came)),
        *(Visit(day, NINE, walk_up=False, shift=None) for _ in range(missed)),
        *(Visit(day, HALF_PAST, walk_up=True, shift=0) for _ in range(walked)),
    ]


def test_walk_ups_say_nothing_of_no_shows():
    found = earlier([*_visits(MONDAY, 8, 2, walked=30)], [NINE, HALF_PAST])

    assert found.no_show.mean == pytest.approx(0.2)
    assert found.no_show.spread == widest(0.2)


def test_a_day_on_which_nobody_had_a_dose_teaches_nothing():
    found = earlier([*_visits(SUNDAY, 0, 9), *_visits(MONDAY, 9, 1)], [NINE])

    assert found.days == 1
    assert found.no_show.mean == pytest.approx(0.1)


def test_walk_ups_come_when_they_came_and_are_counted_high():
    found = earlier([*_visits(MONDAY, 5, 0, walked=3)], [NINE, HALF_PAST])

    assert found.walk_ups.mean == pytest.approx({NINE: 0, HALF_PAST: 13.362 / 2}, abs=5e-4)


def test_no_walk_up_on_two_days_may_still_be_one_a_day():
    visits = [*_visits(MONDAY, 5, 0), *_visits(TUESDAY, 5, 0)]
    found = earlier(visits, [NINE, HALF_PAST])

    assert sum(found.walk_ups.mean.values()) == pytest.approx(4.605 / 2 / 2, abs=5e-4)


def test_early_and_late_are_shares_of_those_who_came():
    visits = [*_visits(MONDAY, 6, 4), *_visits(MONDAY, 3, 0, shift=1)]
    visits += _visits(MONDAY, 1, 0, shift=-7)

    assert earlier(visits, [NINE]).shifts.shares == {-2: 0.1, 0: 0.6, 1: 0.3}


def test_nothing_earlier_is_said_to_be_nothing():
    found = earlier([], [NINE])

    assert (found.days, found.no_show) == (0, None)
    assert found.shifts.shares == {0: 1.0}
    assert "none counted" in found.walk_ups.says
