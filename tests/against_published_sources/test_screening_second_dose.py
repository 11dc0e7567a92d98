"""
Centers for Disease Control and Prevention, web course page for the 28-day product, reviewed
16 July 2021: the second dose on day 28, counted from the first as day 0. Read on 2026-11-25.
"""

from datetime import date

import pytest
from tests.against_published_sources.screened import screened

from thawline.screen.asking import Person

FIRST = date(2021, 1, 1)


@pytest.mark.parametrize("rules", ["field-2021", "national-2021", "later-2022"])
@pytest.mark.parametrize(
    ("on", "outcome", "until"),
    [
        (date(2021, 1, 25), "not-today", date(2021, 1, 29)),  # grace judges, it never books
        (date(2021, 1, 28), "not-today", date(2021, 1, 29)),
        (date(2021, 1, 29), "give", None),
    ],
    ids=["day 24", "day 27", "day 28"],
)
def test_no_second_dose_before_day_28(rules, on, outcome, until):
    asked = screened(rules, on, f"Q17={FIRST.isoformat()}")
    known = screened(rules, on, person=Person(dose=2, first_dose=FIRST))

    assert (asked.outcome.bare, asked.until) == (outcome, until)
    assert (known.outcome.bare, known.until) == (outcome, until)
