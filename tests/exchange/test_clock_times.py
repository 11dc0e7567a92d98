"""Times of day as files write them."""

from datetime import time

import pytest

from thawline.base.errors import ExchangeError
from thawline.exchange.clock_times import Dial, WrittenTime, read_time, settle_dial

TWELVE, TWENTY_FOUR = Dial(twelve_hours=True), Dial(twelve_hours=False)


def _cells(*texts):
    return [WrittenTime(line, text) for line, text in enumerate(texts, 2)]


@pytest.mark.parametrize(
    ("text", "dial", "expected"),
    [
        ("09:30", TWENTY_FOUR, time(9, 30)),
        ("9.30", TWENTY_FOUR, time(9, 30)),
        ("9h30", TWENTY_FOUR, time(9, 30)),
        ("9 h 30", TWENTY_FOUR, time(9, 30)),
        ("14 h", TWENTY_FOUR, time(14)),
        ("0930", TWENTY_FOUR, time(9, 30)),
        ("09:30:15", TWENTY_FOUR, time(9, 30, 15)),
        ("09:30:00.000", TWENTY_FOUR, time(9, 30)),
        ("00:00", TWENTY_FOUR, time(0)),
        ("23:59", TWENTY_FOUR, time(23, 59)),
        ("9:30 AM", TWELVE, time(9, 30)),
        ("9:30pm", TWELVE, time(21, 30)),
        ("9 a. m.", TWELVE, time(9)),
        ("12:15 a.m.", TWELVE, time(0, 15)),
        ("12:15 p.m.", TWELVE, time(12, 15)),
        ("13:30", TWELVE, time(13, 30)),
    ],
)
def test_a_time_of_day_is_read(text, dial, expected):
    assert read_time(text, dial) == expected


@pytest.mark.parametrize(
    ("text", "dial"),
    [
        *(("24:00", TWENTY_FOUR), ("9:60", TWENTY_FOUR), ("9:5", TWENTY_FOUR)),
        *(("9", TWENTY_FOUR), ("", TWENTY_FOUR), ("noon", TWENTY_FOUR), ("NaN", TWENTY_FOUR)),
        *(("9,30", TWENTY_FOUR), ("2560", TWENTY_FOUR), ("٩:٣٠", TWENTY_FOUR)),
        *(("9:30", TWELVE), ("12:30", TWELVE), ("13:30 PM", TWELVE), ("0:30 AM", TWELVE)),
    ],
)
def test_what_is_no_time_or_could_be_two_is_none(text, dial):
    assert read_time(text, dial) is None


def test_one_am_or_pm_makes_the_file_a_twelve_hour_one():
    assert settle_dial(_cells("9:30", "1:30 PM"), None) == TWELVE


@pytest.mark.parametrize("proof", ["13:00", "00:10", "23:59"])
def test_one_hour_that_only_the_24_hour_clock_has_settles_it(proof):
    assert settle_dial(_cells("1:30", proof), None) == TWENTY_FOUR


@pytest.mark.parametrize("doubtful", ["1:00", "6:59"])
def test_an_afternoon_that_could_be_at_night_is_asked_about(doubtful):
    with pytest.raises(ExchangeError, match="line 3") as caught:
        settle_dial(_cells("9:30", doubtful), None)

    assert "--clock 24" in caught.value.advice


@pytest.mark.parametrize("morning", ["7:00", "12:30"])
def test_a_morning_is_not_asked_about(morning):
    assert settle_dial(_cells("9:30", morning), None) == TWENTY_FOUR


def test_a_person_who_says_24_is_believed():
    assert settle_dial(_cells("1:30"), "24") == TWENTY_FOUR
