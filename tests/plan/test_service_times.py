"""How long a turn takes, from stamps: only where somebody stood in line; made-up stamps."""

import math
from itertools import chain

import numpy as np
import pytest
from scipy.stats import bootstrap, ttest_1samp
from tests.plan.clinic_days import minutes
from tests.plan.lunch import turn

from thawline.plan.service_times import Line, service_times, timed


def test_from_dose_to_dose_while_the_next_person_stood_there_is_a_service_time():
    """The second stood in line from 08:01, before the first dose at 08:04."""
    line = Line([turn(1, "08:00", "08:04"), turn(1, "08:05", "08:09", "08:01")])

    assert timed(line).turns_s == (5 * 60,)
    assert timed(line).idle == 0


def test_a_gap_in_which_nobody_is_known_to_wait_is_no_service_time():
    late = Line([turn(1, "08:00", "08:04"), turn(1, "08:09", "08:13", "08:05")])
    unstamped = Line([turn(1, "08:00", "08:04"), turn(1, "08:05", "08:09")])

    assert timed(late) == timed(unstamped)
    assert (timed(late).turns_s, timed(late).idle) == ((), 1)


def test_whoever_has_been_there_since_the_dose_itself_stood_in_line():
    line = Line([turn(1, "08:00", "08:04"), turn(1, "08:05", "08:09", "08:04")])

    assert timed(line).turns_s == (5 * 60,)


def test_somebody_else_in_line_is_enough():
    """The one who sits down came late, but another waits until 08:06 for the other chair."""
    line = Line(
        [
            turn(1, "08:00", "08:04"),
            turn(1, "08:05", "08:09", "08:04:30"),
            turn(2, "08:06", "08:10", "08:03"),
        ]
    )

    assert timed(line).turns_s == (5 * 60,)


def test_whoever_sat_down_before_does_not_count_as_in_line():
    line = Line(
        [
            turn(1, "08:00", "08:04"),
            turn(2, "08:04:30", "08:08", "08:03"),
            turn(1, "08:05", "08:09", "08:04:30"),
        ]
    )

    assert timed(line).turns_s == ()


def test_an_end_that_is_not_stamped_or_stamped_too_late_ends_nothing():
    """An unrecorded dose, and one recorded after the next person was scanned."""
    unrecorded = Line([turn(1, "08:00", None), turn(1, "08:05", "08:09", "07:59")])
    next_one = Line([turn(1, "08:00", "08:04"), turn(1, "08:05", None, "07:59")])
    late = Line([turn(1, "08:00", "08:06"), turn(1, "08:05", "08:09", "07:59")])

    assert [len(timed(each).turns_s) + timed(each).idle for each in (unrecorded, late)] == [
        0,
        0,
    ]
    assert timed(next_one).turns_s == ()


def test_a_break_while_people_wait_is_no_turn():
    """Turns of 5 minutes, and once 40: more than four times the middle one of 5."""
    clocks = ["08:00", "08:05", "08:10", "08:15", "08:55"]
    line = Line([turn(1, f"{each}:00", f"{each}:59", "07:00") for each in clocks])

    assert timed(line).turns_s == (300, 300, 300)
    assert timed(line).breaks == 1


def test_four_times_the_middle_turn_is_still_a_turn():
    clocks = ["08:00", "08:05", "08:10", "08:30"]
    line = Line([turn(1, f"{each}:00", f"{each}:59", "07:00") for each in clocks])

    assert timed(line).turns_s == (300, 300, 1200)


def test_nobody_at_all_is_a_line_too():
    assert timed(Line([])).turns_s == ()
    assert not Line([]).stood(None, None, minutes(0))


def test_of_fewer_than_thirty_turns_nothing_is_said():
    assert service_times([[100.0] * 29, []]) is None
    assert service_times([[100.0] * 30]).turns == 30


def test_mean_and_spread_are_those_of_the_turns():
    """15 turns of 90 s and 15 of 110 s: mean 100, variance 30 * 100 / 29."""
    found = service_times([[90.0] * 15 + [110.0] * 15])

    assert found.mean_s.value == pytest.approx(100)
    assert found.varies.value == pytest.approx(math.sqrt(3000 / 29) / 100)
    assert not found.over_days


def test_turns_that_are_all_the_same_have_no_width():
    found = service_times([[100.0] * 40])

    assert (found.mean_s.low, found.mean_s.high) == (100, 100)
    assert found.varies.value == 0


def test_where_days_differ_beyond_measure_no_turn_takes_less_than_nothing():
    """By hand: 40 turns of 60 s and 10 of 600 s, mean 168; Student's t of 4 is 2.776."""
    found = service_times([[60.0] * 10] * 4 + [[600.0] * 10]).mean_s

    assert (found.value, found.low) == (168, 0)
    assert found.high > 2 * 168


def test_the_interval_of_a_single_day_is_students():
    """The jackknife of a mean is s / sqrt(n) exactly (Efron and Stein 1981); by SciPy's t."""
    turns = np.random.default_rng(5).lognormal(5, 0.5, 80)
    printed = ttest_1samp(turns, 0).confidence_interval(0.95)
    found = service_times([turns.tolist()]).mean_s

    assert (found.low, found.high) == pytest.approx((printed.low, printed.high))


def test_scipys_bootstrap_finds_the_same_interval_of_the_spread():
    """An independent recount: resampled turns, the bias-corrected interval; n 400."""
    turns = np.random.default_rng(3).lognormal(5, 0.4, 400)
    found = service_times([turns.tolist()]).varies

    def spread(sample, axis):
        return np.std(sample, axis=axis, ddof=1) / np.mean(sample, axis=axis)

    other = bootstrap((turns,), spread, n_resamples=4000, rng=np.random.default_rng(1))
    low, high = other.confidence_interval

    assert abs(found.low - low) < 0.15 * (high - low)
    assert abs(found.high - high) < 0.25 * (high - low)


def test_from_five_days_on_the_days_are_held_against_each_other():
    """Days that differ: SciPy's bootstrap over days, paired sums and counts, is as wide."""
    rng = np.random.default_rng(8)
    days = [
        (100 + 15 * rng.standard_normal() + rng.standard_normal(60)).tolist() for _ in range(30)
    ]
    found = service_times(days)
    sums, counts = np.array([sum(day) for day in days]), np.full(30, 60.0)
    other = bootstrap(
        (sums, counts), lambda a, b, axis: a.sum(axis=axis) / b.sum(axis=axis), paired=True,
        n_resamples=4000, rng=np.random.default_rng(1), method="percentile",
    ).confidence_interval  # fmt: skip
    width = other.high - other.low

    assert found.over_days
    assert abs(found.mean_s.low - other.low) < 0.1 * width
    assert abs(found.mean_s.high - other.high) < 0.1 * width
    assert width > 5 * _width(service_times([list(chain(*days))]).mean_s) / 3


def _width(interval):
    return interval.high - interval.low


def test_four_days_are_not_held_against_each_other():
    assert not service_times([[100.0, 90.0] * 20] * 4).over_days
    assert service_times([[100.0, 90.0] * 20] * 5 + [[]]).over_days


def test_the_interval_holds_the_truth_on_95_of_100_records():
    """1,000 records of 40 gamma turns (shape 4) with mean 100: within four standard errors."""
    rng = np.random.default_rng(11)
    records = [service_times([rng.gamma(4, 25, 40).tolist()]).mean_s for _ in range(1000)]
    held = sum(each.low <= 100 <= each.high for each in records)

    assert abs(held - 950) < 4 * math.sqrt(1000 * 0.95 * 0.05)
