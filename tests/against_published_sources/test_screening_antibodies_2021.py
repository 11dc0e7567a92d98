"""
HIV i-Base, summaries of the interim considerations, 30 December 2020 and 22 January 2021:
antibodies or convalescent plasma wait 90 days; a current infection or exposure waits for
recovery or the end of isolation. Read second hand on 2026-11-25.

90 days from 2021-01-01: 2021-03-31 is too soon, 2021-04-01 is not.
"""

from datetime import date

import pytest
from tests.against_published_sources.screened import came_to, screened

ANTIBODIES = "Q13=2021-01-01"


@pytest.mark.parametrize("rules", ["field-2021", "national-2021"])
def test_antibodies_wait_90_days(rules):
    early = screened(rules, date(2021, 3, 31), ANTIBODIES)

    assert (early.outcome.bare, early.until) == ("not-today", date(2021, 4, 1))
    assert screened(rules, date(2021, 4, 1), ANTIBODIES).outcome.bare == "give"


def test_the_wait_was_a_rule_of_that_time():
    assert came_to("national", date(2022, 1, 15), "Q13=2022-01-01") == ("give", 15)


@pytest.mark.parametrize("rules", ["field-2021", "national-2021", "later-2022"])
def test_a_current_infection_is_not_given_today_and_has_no_day_to_wait_for(rules):
    found = screened(rules, date(2021, 2, 1), "Q12=yes")

    assert (found.outcome.bare, found.until) == ("not-today", None)
