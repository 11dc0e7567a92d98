"""
Dates moved by years, months, weeks and days, against the published decision-support rules.

Centers for Disease Control and Prevention, Clinical Decision Support for Immunization (CDSi),
logic specification, rules CALCDT-1 to CALCDT-6 with their printed examples; identical text in
several public copies of the rule table, as the check tables of 2026-11-25 give it. Rows 6 to
9 of the clinical check table. The order of steps in CALCDT-6 is from memory; its printed
example stands below.
"""

from datetime import date

import pytest

from thawline.rebook.dates import later

BORN = date(2000, 1, 1)


def test_calcdt_1_adds_years():
    assert later(BORN, years=3) == date(2003, 1, 1)


@pytest.mark.parametrize(
    ("start", "months", "moved"),
    [
        (date(2000, 1, 1), 6, date(2000, 7, 1)),
        (date(2000, 11, 1), 6, date(2001, 5, 1)),
        (date(2000, 11, 1), 3, date(2001, 2, 1)),
    ],
)
def test_calcdt_2_adds_months(start, months, moved):
    assert later(start, months=months) == moved


def test_calcdt_3_adds_days():
    assert later(BORN, days=3) == date(2000, 1, 4)


@pytest.mark.parametrize(
    ("start", "weeks", "moved"),
    [
        (date(2000, 1, 1), 3, date(2000, 1, 22)),
        (date(2000, 2, 1), 5, date(2000, 3, 7)),
        (date(2001, 2, 1), 5, date(2001, 3, 8)),
    ],
    ids=["three weeks", "leap February", "plain February"],
)
def test_calcdt_3_adds_weeks_as_days(start, weeks, moved):
    assert later(start, weeks=weeks) == moved


def test_calcdt_4_subtracts_days():
    assert later(date(2000, 1, 15), days=-4) == date(2000, 1, 11)


@pytest.mark.parametrize(
    ("start", "moved"),
    [(date(2000, 3, 31), date(2000, 10, 1)), (date(2010, 8, 31), date(2011, 3, 1))],
)
def test_calcdt_5_rolls_a_date_that_does_not_exist_forward(start, moved):
    assert later(start, months=6) == moved


def test_calcdt_6_takes_months_before_days():
    assert later(date(2000, 1, 31), months=6, days=-4) == date(2000, 7, 27)
