"""Lengths of time as a protocol writes them, and as people say them."""

from datetime import timedelta
from zoneinfo import ZoneInfo

import pytest

from thawline.base.durations import Allowance, read_allowance, spoken
from thawline.base.errors import RuleError
from thawline.base.instants import read_instant

CHICAGO = ZoneInfo("America/Chicago")


@pytest.mark.parametrize(
    ("text", "days", "elapsed"),
    [
        ("P30D", 30, timedelta()),
        ("P2W", 14, timedelta()),
        ("PT12H", 0, timedelta(hours=12)),
        ("PT2H30M", 0, timedelta(minutes=150)),
        ("PT90S", 0, timedelta(seconds=90)),
        ("P1DT6H", 1, timedelta(hours=6)),
        ("P0D", 0, timedelta()),
    ],
)
def test_durations_are_read_in_days_and_elapsed_time(text, days, elapsed):
    assert read_allowance(text) == Allowance(days, elapsed)


@pytest.mark.parametrize(
    "text",
    [
        *("", "P", "PT", "P1DT", "12h", "PT2.5H", "P1M", "P1Y", "PT-2H", "-PT2H", "pt2h"),
        *("PT2H ", "P1D6H", "P1WT2H", "PT٢H", "PT1000000H", "P3000Y", "PT2H30"),
    ],
)
def test_what_says_no_length_is_refused_with_the_text(text):
    with pytest.raises(RuleError) as error:
        read_allowance(text)

    assert repr(text) in str(error.value)
    assert "ISO 8601" in error.value.advice


@pytest.mark.parametrize("text", ["P36526D", "P999999W", "PT876601H"])
def test_more_than_a_hundred_years_is_a_slip(text):
    with pytest.raises(RuleError, match="hundred years"):
        read_allowance(text)


def test_a_hundred_years_are_just_still_a_length():
    assert read_allowance("P36525D").days == 36525


def test_hours_end_by_elapsed_time_also_in_the_night_of_the_clock_change():
    started = read_instant("2026-03-07T22:00:00-06:00")

    ends = read_allowance("PT6H").end(started, CHICAGO)

    assert ends == read_instant("2026-03-08T05:00:00-05:00")  # 04:00 would be five hours


def test_days_end_at_the_wall_time_when_that_is_earlier():
    started = read_instant("2026-03-07T12:00:00-06:00")

    ends = read_allowance("P1D").end(started, CHICAGO)

    assert ends == read_instant("2026-03-08T12:00:00-05:00")


def test_hours_on_top_of_days_run_after_them():
    started = read_instant("2026-02-03T06:00:00-06:00")

    ends = read_allowance("P1DT6H").end(started, CHICAGO)

    assert ends == read_instant("2026-02-04T12:00:00-06:00")


def test_what_was_used_elsewhere_is_taken_off():
    assert read_allowance("PT12H").less(timedelta(hours=5)) == read_allowance("PT7H")


def test_a_day_counts_as_24_hours_where_only_its_length_is_asked():
    assert read_allowance("P1DT30M").longest() == timedelta(hours=24, minutes=30)


@pytest.mark.parametrize(
    ("length", "words"),
    [
        (timedelta(seconds=59), "less than 1 min"),
        (timedelta(0), "less than 1 min"),
        (timedelta(minutes=-5), "less than 1 min"),
        (timedelta(seconds=119), "1 min"),
        (timedelta(minutes=60), "1 h"),
        (timedelta(hours=2, minutes=25), "2 h 25 min"),
        (timedelta(days=1, minutes=5), "1 d 5 min"),
    ],
)
def test_lengths_are_said_to_the_minute_below(length, words):
    assert spoken(length) == words
