"""How pages write times, durations and sentences; the forms are those of the design."""

from datetime import date, timedelta

import pytest
from tests.cast import CHICAGO, at

from thawline.base.findings import Finding, Level
from thawline.web.slabs import slab
from thawline.web.words import clock, count, ends, left, on_screen, place_words, unlike, when


@pytest.mark.parametrize(
    ("minutes", "says"),
    [
        (0, "less than 1 min"),
        (14, "14 min"),
        (60, "1 h"),
        (145, "2 h 25 min"),
        (1500, "1 d 1 h"),
    ],
)
def test_a_duration_is_in_hours_and_minutes(minutes, says):
    assert left(timedelta(minutes=minutes)) == says


@pytest.mark.parametrize(
    ("account", "says"),
    [
        ("stock:freezer-1", "freezer-1"),
        ("syringe:XV02W-02", "syringe XV02W-02"),
        ("vial:XV02W", "vial XV02W"),
        ("given", "given"),
    ],
)
def test_a_place_of_the_book_is_said_without_its_colon(account, says):
    assert place_words(account) == says


def test_a_slab_that_stands_above_is_not_shown_twice_but_a_graver_one_is():
    check, stop = (slab(Finding(level, "x", "the kit")) for level in (Level.CHECK, Level.STOP))
    assert unlike([check, stop], [check]) == [stop]
    assert unlike([check], []) == [check]


def test_what_is_over_or_not_known_is_said_so():
    assert left(timedelta(minutes=-1)) == "past"
    assert left(None) == "not known"
    assert clock(None, CHICAGO) == "?"


def test_a_time_of_another_day_has_its_date():
    today = (CHICAGO, date(2026, 2, 3))
    assert when(at("16:02"), today) == "16:02"
    assert when(at("02:00", 4), today) == "02:00 Wed 4 Feb"


@pytest.mark.parametrize(
    ("terminal", "screen"),
    [
        (
            "Let the site's dialler ring, or call somebody, then: thawline cold night",
            "Let the site's dialler ring, or call somebody",
        ),
        ("Discard it: thawline vial discard HK47M", "Discard it"),
        ("ask again: thawline second between", "ask again"),
        ("Ask at the chair, and record the dose.", "Ask at the chair, and record the dose."),
    ],
)
def test_a_screen_names_no_command_of_the_terminal(terminal, screen):
    assert on_screen(terminal) == screen


def test_an_end_at_midnight_is_told_as_the_last_minute_of_the_day_before():
    # The design, section 3.3: never "24:00" or "00:00 tomorrow"; say "23:59" or the date.
    today = (CHICAGO, date(2026, 2, 3))
    assert ends(at("00:00", 4), today) == "23:59"
    assert ends(at("00:00:59", 4), today) == "23:59"
    assert ends(at("00:01", 4), today) == "00:01 Wed 4 Feb"
    assert ends(at("00:00", 5), today) == "23:59 Wed 4 Feb"
    assert ends(None, today) == "not known"


def test_a_time_at_another_days_midnight_is_told_as_the_start_of_its_day():
    today = (CHICAGO, date(2026, 2, 3))
    assert when(at("00:00", 4), today) == "start of Wed 4 Feb"
    assert when(at("00:00", 3), today) == "00:00"


def test_a_count_has_commas_between_its_thousands():
    assert [count(n) for n in (999, 1920, 4041396)] == ["999", "1,920", "4,041,396"]
