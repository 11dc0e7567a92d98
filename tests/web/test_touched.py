"""
When a finger touched: the interval holds the truth, and its earlier bound never comes late.

The rules are section 3.5 of the design of reliability, by hand for a tap at 10:02 that the
site hears of at 10:42.
"""

from datetime import timedelta

import pytest
from hypothesis import given
from hypothesis import strategies as st
from tests.cast import CHICAGO, at

from thawline.base.errors import UnsaidError
from thawline.base.instants import Instant, to_ms
from thawline.web.touched import Touch

HEARD = at("10:42")
FORTY_MIN_MS = 40 * 60 * 1000
SECOND = timedelta(seconds=1)


def told(**touch):
    found = Touch(**touch).occurred(HEARD, CHICAGO)
    return found.lo, found.hi


def test_a_press_of_now_is_of_now():
    assert told(elapsed_ms=0) == (HEARD, HEARD)


def test_a_press_that_was_three_seconds_on_its_way_starts_its_clock_at_the_touch():
    assert told(elapsed_ms=3000) == (HEARD - 3 * SECOND, HEARD)


def test_a_press_that_waited_is_known_to_two_seconds():
    touched = at("10:02")
    assert told(elapsed_ms=FORTY_MIN_MS) == (touched - 2 * SECOND, touched + 2 * SECOND)


def test_a_tablet_that_slept_counts_too_little_and_its_wall_clock_is_believed():
    lo, hi = told(elapsed_ms=60_000, clock_ms=to_ms(at("10:02")))
    assert lo == at("10:02") - 2 * SECOND
    assert hi == at("10:41") + 2 * SECOND


def test_a_wall_clock_that_runs_ahead_never_makes_a_press_later():
    lo, _ = told(elapsed_ms=FORTY_MIN_MS, clock_ms=to_ms(at("10:30")))
    assert lo == at("10:02") - 2 * SECOND


def test_after_a_reload_two_minutes_are_left_open_on_either_side():
    lo, hi = told(clock_ms=to_ms(at("10:02")))
    assert (lo, hi) == (at("10:00"), at("10:04"))


@pytest.mark.parametrize(
    "touch", [Touch(), Touch(clock_ms=to_ms(at("10:50")))], ids=["neither", "in the future"]
)
def test_where_nobody_knows_the_time_is_asked_for(touch):
    with pytest.raises(UnsaidError, match="nobody knows"):
        touch.occurred(HEARD, CHICAGO)


def test_a_time_that_was_typed_is_the_whole_minute():
    assert told(typed="10:02") == (at("10:02"), at("10:03"))


@pytest.mark.parametrize("typed", ["10:43", "25:00", "ten"])
def test_a_time_that_cannot_be_is_asked_for_again(typed):
    with pytest.raises(UnsaidError):
        told(typed=typed)


@given(
    st.integers(0, 12 * 3600_000),
    st.integers(0, 3600_000),
    st.integers(-900, 900),
    st.integers(0, 900),
)
def test_the_truth_lies_in_the_interval(true_ms, slept_ms, offset_ms, way_ms):
    """
    A tablet may sleep, its offset be off by under a second, the way take under a second.

    A press that did not wait may begin its clock as late as the two clocks may differ unseen.
    """
    touched = Instant(HEARD - timedelta(milliseconds=true_ms + way_ms))
    counted = max(0, true_ms - slept_ms)
    lo, hi = told(elapsed_ms=counted, clock_ms=to_ms(touched) + offset_ms)
    assert lo <= touched + (timedelta(0) if counted > 4000 else 3 * SECOND)
    assert hi >= touched
