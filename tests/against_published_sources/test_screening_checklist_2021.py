"""
Centers for Disease Control and Prevention, pre-vaccination checklist, 2021: "immediate" means
within 4 hours; any vaccine in the last 14 days. Read on 2026-11-25.

14 days from 2021-01-01: 2021-01-14 is too soon, 2021-01-15 is not. Later guidance has no wait:
same day or any interval (CDC summary later in 2021; shipped from 2022 on).
"""

from datetime import date, timedelta

import pytest
from tests.against_published_sources.screened import screened, under

OTHER_VACCINE = "Q14=2021-01-01"


@pytest.mark.parametrize("rules", ["field-2021", "national-2021"])
def test_another_vaccine_waits_14_days(rules):
    early = screened(rules, date(2021, 1, 14), OTHER_VACCINE)

    assert (early.outcome.bare, early.until) == ("not-today", date(2021, 1, 15))
    assert screened(rules, date(2021, 1, 15), OTHER_VACCINE).outcome.bare == "give"


def test_another_vaccine_the_day_before_waits_in_2021_and_not_in_2022():
    assert screened("national", date(2021, 2, 2), "Q14=2021-02-01").until == date(2021, 2, 15)
    assert screened("national", date(2022, 2, 2), "Q14=2022-02-01").outcome.bare == "give"


@pytest.mark.parametrize("rules", ["field-2021", "national-2021", "later-2022"])
@pytest.mark.parametrize("item", ["Q2", "Q4"])
def test_immediate_is_within_4_hours(rules, item):
    (question,) = [each for each in under(rules) if each.item == item]

    assert question.within.longest() == timedelta(hours=4)
