"""Which doses on the table will be used in time. Made-up times."""

from datetime import timedelta

import pytest

from thawline.base.instants import Instant, read_instant
from thawline.plan.half_hours import HalfHour
from thawline.plan.on_hand import Batch, doses_used_in_time
from thawline.plan.thaw import OnHand, ThawRule, thaw_plan

NINE = read_instant("2026-02-03T09:00:00-06:00")
MINUTE = timedelta(minutes=1)
RULE = ThawRule(10, timedelta(hours=2), timedelta(minutes=15), timedelta(hours=1))


def _needs(*people, comes=1.0):
    hours = [
        HalfHour(Instant(NINE + i * 30 * MINUTE), (comes,) * count)
        for i, count in enumerate(people)
    ]
    return thaw_plan(hours, RULE, 0.95, OnHand()).needs


def _used(needs, *batches):
    return doses_used_in_time(
        [Batch(Instant(NINE + minutes * MINUTE), doses) for minutes, doses in batches], needs
    )


@pytest.mark.parametrize(("minutes", "used"), [(29, 0), (30, 4), (59, 4), (60, 6)], ids=str)
def test_doses_count_as_far_as_people_come_before_their_limit(minutes, used):
    assert _used(_needs(4, 2), (minutes, 8)) == used


def test_no_more_doses_count_than_there_are():
    assert _used(_needs(4, 2), (60, 3)) == 3


def test_what_must_be_used_first_is_used_first_in_any_order():
    needs = _needs(4, 2)

    assert _used(needs, (600, 3), (30, 8)) == 6
    assert _used(needs, (30, 8), (600, 3)) == 6


def test_before_the_last_half_hour_only_a_slow_days_people_count():
    needs = _needs(10, 10, comes=0.5)

    assert _used(needs, (30, 10)) == needs[0].people_so_far.low
    assert _used(needs, (60, 20)) == needs[1].people_so_far.high


def test_without_people_nothing_counts():
    assert _used((), (600, 8)) == 0
