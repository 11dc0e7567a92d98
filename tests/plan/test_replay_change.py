"""One thing changed in a day: what it does, and that nothing changed is nothing; made up."""

from dataclasses import replace

import numpy as np
import pytest
from scipy.stats import ttest_ind, ttest_rel
from tests.plan.clinic_days import minutes, seconds
from tests.plan.lunch import comer, lunch

from thawline.base.errors import RecordError
from thawline.plan.clinic_day import Vials
from thawline.plan.quantile_tables import lognormal
from thawline.plan.replay import replayed
from thawline.plan.replay_change import (
    differences,
    fewer_vials,
    mean_interval,
    more_people,
    more_tables,
    wait_of_half,
    with_no_show,
    with_turns_of,
    worst_half,
)

PROMISE = minutes(20)


def _by_chance(*ready, **more):
    return replace(lunch(*ready, **more), chair=lognormal(seconds(200), 0.5))


def _played(day, days=40):
    return replayed(day, 3, (0, days), PROMISE)


def _changed(day, changed):
    return differences(_played(day), _played(changed))


@pytest.mark.parametrize(
    "change",
    [
        lambda day: more_people(day, "chair", 0, (minutes(0), None)),
        lambda day: more_people(day, "chair", 1, (minutes(70), minutes(80))),
        lambda day: fewer_vials(day, 0),
        lambda day: with_no_show(day, 0.25),
        lambda day: more_tables(day, minutes(1)),
    ],
    ids=["nobody more", "when nobody comes", "no vials", "the same no-show", "doses lie there"],
)
def test_a_change_that_changes_nothing_gives_exactly_nothing(change):
    people = (*(comer(2 * n, due=n) for n in range(3, 18)), *(comer(None, due=9),) * 5)
    day = replace(_by_chance(1), people=people, stayed_away=0.25)

    for found in _changed(day, change(day)).values():
        assert (found.by.value, found.by.low, found.by.high) == (0, 0, 0)
        assert found.before == found.after


def test_one_chair_more_between_two_times_helps_whoever_waits_then():
    """Two every ten minutes at one chair, ten minutes a turn; a second one from 21 to 41.

    Turns begin at 1, 11, 21, 21, 31, 31, 41, ... instead of 1, 11, 21, 31, 41, 51, 61, ...
    """
    day = lunch(1, 1, 11, 11, 21, 21, 31, 31)
    found = _changed(day, more_people(day, "chair", 1, (minutes(21), minutes(41))))

    before = (0 + 10 + 10 + 20 + 20 + 30 + 30 + 40) / 8
    after = (0 + 10 + 10 + 10 + 10 + 10 + 10 + 20) / 8
    assert found["mean_wait_s"].before == before * 60
    assert found["mean_wait_s"].after == after * 60
    assert found["over_promise"].by.value == -3
    assert found["last_dose_s"].by.value == -20 * 60


def test_a_second_draw_table_saves_what_waiting_for_doses_costs():
    """Doses take ten minutes and none lies ahead; two tables from minute 0 on halve it."""
    day = lunch(0, 0, 0, 0, takes=1, chairs=(4,), draws=minutes(10), ahead=4)
    found = _changed(day, more_tables(day, minutes(0)))

    assert found["mean_wait_s"].before == (10 + 20 + 30 + 40) * 60 / 4
    assert found["mean_wait_s"].after == (10 + 10 + 20 + 20) * 60 / 4


def test_vials_that_were_missing_at_the_start_are_those_brought_last():
    """Vials of one at 0, 10 and 20, the middle one thawed later; without one: that of 20."""
    vials = Vials(1, minutes(360), (minutes(0), minutes(10), minutes(20)))
    day = lunch(1, 1, 1, vials=vials, thawed=(True, False, True), takes=1)
    changed = fewer_vials(day, 1)

    assert changed.vials.ready == (minutes(0), minutes(10))
    assert changed.thawed == (True, False)
    assert fewer_vials(day, 2).vials.ready == (minutes(10),)
    assert _changed(day, changed)["without_dose"].by.value == 1


def test_where_nobody_knows_which_vials_there_were_none_can_be_missing():
    day = lunch(1, vials=Vials(10, minutes(360)), thawed=())

    with pytest.raises(RecordError, match="more doses were given"):
        fewer_vials(day, 0)


def test_the_interval_is_that_of_pairs_by_scipy():
    one, other = _by_chance(*range(0, 60, 3)), _by_chance(*range(0, 60, 3), chairs=(2,))
    before, after = _played(one), _played(other)
    printed = ttest_rel(after.figures[:, 2], before.figures[:, 2]).confidence_interval(0.95)
    found = differences(before, after)["mean_wait_s"].by

    assert (found.low, found.high) == pytest.approx((printed.low, printed.high))
    assert found.high < 0


def test_pairs_of_the_same_days_tell_far_more_than_days_apart():
    """The width against that of two independent sets of days (Welch), by SciPy."""
    day = _by_chance(*range(0, 90, 3))
    changed = more_people(day, "chair", 1, (minutes(60), minutes(80)))
    pairs = differences(_played(day), _played(changed))["mean_wait_s"].by
    apart = ttest_ind(
        replayed(changed, 99, (0, 40), PROMISE).figures[:, 2], _played(day).figures[:, 2],
        equal_var=False,
    ).confidence_interval(0.95)  # fmt: skip

    assert pairs.high - pairs.low < (apart.high - apart.low) / 2


def test_the_worst_half_hour_is_that_of_the_day_as_it_was():
    """Waits of 0 in the first half hour, of 0, 10, 20 in the second, of 20 in the third."""
    day = lunch(1, 31, 31, 31, 61, 61, 61, 61)
    changed = more_people(day, "chair", 1, (minutes(61), minutes(71)))
    number, found = worst_half(_played(day, 2), _played(changed, 2))

    assert number == 2
    assert found.before == (0 + 10 + 20 + 30) * 60 / 4
    assert found.after == (0 + 0 + 10 + 20) * 60 / 4
    assert wait_of_half(0, _played(day, 2), _played(changed, 2)).by.value == 0


def test_the_worst_half_hour_is_by_what_each_person_waits_not_by_how_many_wait():
    """Four wait 0, 10, 20 and 30 in the first, one waits 24 in the third: nobody is there."""
    day = lunch(1, 1, 1, 1, 61, chairs=(1,) * 60 + (0,) * 25 + (1,))
    number, found = worst_half(_played(day, 2), _played(day, 2))

    assert (number, found.before) == (2, 24 * 60)


def test_nobody_in_a_half_hour_waits_for_nothing():
    day = lunch(1)

    assert wait_of_half(3, _played(day, 2), _played(day, 2)).before == 0


def test_longer_turns_are_all_longer_in_proportion():
    day = _by_chance(1)
    longer = with_turns_of(day, 300.0)

    assert longer.chair.moments() == pytest.approx((300, 150), rel=1e-3)


def test_equal_days_have_an_interval_without_width():
    found = mean_interval(np.array([2.5, 2.5, 2.5]))

    assert (found.value, found.low, found.high) == (2.5, 2.5, 2.5)


DAY = lunch(1, chairs=(3, 2), tables=(1,))
ALL_DAY, FROM_5 = (minutes(0), None), (minutes(5), None)
FEWER = "3 fewer at the chair, where 2"


@pytest.mark.parametrize(
    ("made", "says"),
    [
        (lambda: more_people(DAY, "desk", 1, ALL_DAY), "no station 'desk'"),
        (lambda: more_people(DAY, "chair", -3, (minutes(0), minutes(9))), FEWER),
        (lambda: more_people(DAY, "chair", -2, FROM_5), "nobody at the chair"),
        (lambda: more_people(DAY, "draw table", -1, FROM_5), "nobody at the draw table"),
        (lambda: more_people(DAY, "chair", 999, ALL_DAY), "chairs: 1002"),
        (lambda: fewer_vials(DAY, 10), "10 vials fewer, of 9 thawed"),
        (lambda: fewer_vials(DAY, -1), "-1 vials fewer"),
        (lambda: with_no_show(DAY, 1.0), "a no-show of 100%"),
        (lambda: with_no_show(DAY, -0.1), "a no-show of -10%"),
        (lambda: with_no_show(DAY, float("nan")), "a no-show of nan%"),
    ],
)  # fmt: skip
def test_changes_that_cannot_be_are_refused_by_name(made, says):
    with pytest.raises(RecordError, match=says):
        made()


def test_all_vials_of_the_start_may_be_missing():
    assert fewer_vials(DAY, 9).vials.ready == ()
    assert _played(fewer_vials(DAY, 9), 1).daily(0)[0] == 1
