"""Moving dates by months and years where the calendar has no such day."""

import calendar
from datetime import date, timedelta

import pytest
from hypothesis import given
from hypothesis import strategies as st

from thawline.base.errors import RecordError
from thawline.rebook.dates import age_on, later

DATES = st.dates(date(1900, 1, 1), date(2100, 12, 31))


@pytest.mark.parametrize(
    ("start", "months", "moved"),
    [
        (date(2001, 1, 31), 1, date(2001, 3, 1)),
        (date(2000, 1, 30), 1, date(2000, 3, 1)),
        (date(2000, 1, 29), 1, date(2000, 2, 29)),
        (date(2001, 1, 29), 1, date(2001, 3, 1)),
        (date(2001, 1, 28), 1, date(2001, 2, 28)),
        (date(2011, 5, 31), 6, date(2011, 12, 1)),
        (date(2011, 5, 31), 7, date(2011, 12, 31)),
        (date(2011, 12, 31), 2, date(2012, 3, 1)),
    ],
)
def test_a_day_the_month_does_not_have_becomes_the_first_of_the_next(start, months, moved):
    assert later(start, months=months) == moved


def test_a_leap_day_has_its_next_birthday_on_the_first_of_march():
    assert later(date(2004, 2, 29), years=1) == date(2005, 3, 1)
    assert later(date(2004, 2, 29), years=4) == date(2008, 2, 29)
    assert later(date(2003, 2, 28), years=18) == date(2021, 2, 28)


def test_years_come_first_then_months_and_each_gives_a_date_that_exists():
    assert later(date(2004, 2, 29), years=1, months=6) == date(2005, 9, 1)


def test_weeks_and_days_come_last():
    assert later(date(2001, 1, 31), months=1, weeks=1, days=2) == date(2001, 3, 10)


@pytest.mark.parametrize(
    "beyond",
    [{"days": 400}, {"months": 12}, {"years": 1}, {"years": -10_000}],
    ids=["days", "months", "years", "before the calendar"],
)
def test_a_date_beyond_the_calendar_is_refused_by_its_start(beyond):
    with pytest.raises(RecordError) as refused:
        later(date(9999, 12, 20), **beyond)

    assert refused.value.says == "a date beyond the calendar, counted from 9999-12-20"
    assert refused.value.advice == "look at the year that was typed"


def test_the_first_and_the_last_day_of_the_calendar_can_be_reached():
    assert later(date(3, 1, 1), years=-2) == date(1, 1, 1)
    assert later(date(9999, 11, 30), months=1, days=1) == date(9999, 12, 31)
    assert later(date(9998, 12, 31), years=1) == date(9999, 12, 31)


@given(DATES, st.integers(0, 60))
def test_a_date_moved_by_months_is_never_earlier_than_a_clamped_one(start, months):
    year, month = divmod(start.month - 1 + months, 12)
    last = calendar.monthrange(start.year + year, month + 1)[1]
    clamped = date(start.year + year, month + 1, min(start.day, last))

    assert later(start, months=months) in {clamped, clamped + timedelta(days=1)}
    assert later(start, months=months).day in {start.day, 1}


@pytest.mark.parametrize(
    ("born", "on", "age"),
    [
        ("1984-02-03", "2026-02-02", 41),
        ("1984-02-03", "2026-02-03", 42),
        ("2004-02-29", "2022-02-28", 17),
        ("2004-02-29", "2022-03-01", 18),
        ("2004-02-29", "2024-02-29", 20),
        ("2026-02-03", "2026-02-03", 0),
        ("1906-02-03", "2026-02-03", 120),
    ],
    ids=[
        *("the day before", "the birthday", "leap day, before", "leap day, after"),
        *("leap day again", "born today", "the oldest"),
    ],
)
def test_age_counts_whole_years_and_a_leap_birthday_comes_on_1_march(born, on, age):
    assert age_on(date.fromisoformat(born), date.fromisoformat(on)) == age


@pytest.mark.parametrize(
    ("born", "says"),
    [
        ("2026-02-04", "a birth date after 2026-02-03"),
        ("1905-02-03", "an age of 121 years on 2026-02-03"),
    ],
)
def test_a_birth_date_that_cannot_be_is_refused(born, says):
    with pytest.raises(RecordError) as refused:
        age_on(date.fromisoformat(born), date(2026, 2, 3))

    assert refused.value.says == says
