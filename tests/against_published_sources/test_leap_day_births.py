"""
The age of somebody born on 29 February.

Maryland Code, General Provisions, section 1-303, "Computation of age": (a) an age is attained
on the anniversary of the birth; (b) born on February 29, on March 1 of a year that is not a
leap year. Read in two copies of the section on 2026-11-27. The same follows from the rule
CALCDT-5 of the CDC's date rules, tested in `test_cdsi_date_rules`.
"""

from datetime import date

import pytest

from thawline.rebook.dates import age_on

LEAP_DAY = date(2008, 2, 29)


@pytest.mark.parametrize(
    ("day", "age"),
    [
        (date(2026, 2, 28), 17),
        (date(2026, 3, 1), 18),
        (date(2028, 2, 28), 19),
        (date(2028, 2, 29), 20),
    ],
    ids=["28 February", "1 March", "the day before, leap year", "29 February, leap year"],
)
def test_a_year_older_on_1_march_and_in_a_leap_year_on_the_day_itself(day, age):
    assert age_on(LEAP_DAY, day) == age


@pytest.mark.parametrize(("day", "age"), [(date(2026, 2, 2), 17), (date(2026, 2, 3), 18)])
def test_anybody_else_is_a_year_older_on_the_anniversary(day, age):
    assert age_on(date(2008, 2, 3), day) == age
