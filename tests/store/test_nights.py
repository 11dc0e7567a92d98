"""Whether a night is covered: not before somebody has answered a test call for it."""

from datetime import time
from zoneinfo import ZoneInfo

import pytest
from tests.cast import CHICAGO, ROWAN, at

from thawline.base.instants import read_instant
from thawline.store.nights import Hours, TestCall, covered_by, night_of

HOURS = Hours(time(18), time(6))


@pytest.mark.parametrize(
    ("now", "starts"),
    [
        (at("12:00"), at("18:00")),
        (at("18:00"), at("18:00")),
        (at("02:00", day=4), at("18:00")),
        (at("05:59", day=4), at("18:00")),
        (at("06:00", day=4), at("18:00", day=4)),
    ],
    ids=["at noon", "as it begins", "in it", "a minute before its end", "at its end"],
)
def test_tonight_is_the_night_that_goes_on_or_the_one_to_come(now, starts):
    assert night_of(HOURS, now, CHICAGO).starts == starts


def test_a_night_may_begin_after_midnight():
    night = night_of(Hours(time(1), time(6)), at("12:00"), CHICAGO)

    assert (night.starts, night.ends) == (at("01:00", day=4), at("06:00", day=4))
    assert night.day_began == at("06:00")


def test_a_night_in_which_the_clocks_change_ends_by_the_clock_on_the_wall():
    zone = ZoneInfo("America/Chicago")
    night = night_of(HOURS, read_instant("2026-03-07T20:00:00-06:00"), zone)

    assert night.ends == read_instant("2026-03-08T06:00:00-05:00")


def answered(clock, until="06:00", day=3, until_day=4):
    return TestCall(ROWAN, at(clock, day), at(until, until_day))


TONIGHT = night_of(HOURS, at("20:00"), CHICAGO)


def test_a_night_is_not_covered_before_anybody_answered():
    assert covered_by(TONIGHT, [], at("20:00")) is None


@pytest.mark.parametrize("clock", ["06:00", "17:30", "19:00"])
def test_a_test_call_answered_since_the_last_night_covers_it(clock):
    call = answered(clock)

    assert covered_by(TONIGHT, [call], at("20:00")) == call


@pytest.mark.parametrize(
    "call",
    [
        answered("05:59"),
        answered("20:01"),
        answered("17:30", until="05:59"),
        answered("19:00", day=2),
    ],
    ids=["in the night before", "in the future", "gone too early", "the day before"],
)
def test_other_test_calls_leave_it_uncovered(call):
    assert covered_by(TONIGHT, [call], at("20:00")) is None


def test_of_several_the_newest_counts():
    first, second = answered("17:00"), answered("18:30")

    assert covered_by(TONIGHT, [second, first], at("20:00")) == second
