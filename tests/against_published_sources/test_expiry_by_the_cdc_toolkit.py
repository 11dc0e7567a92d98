"""
Until when a label lets a vial be used, by the CDC toolkit's "Understanding Expiration Dates".

Centers for Disease Control and Prevention, Vaccine Storage and Handling Toolkit, January 2019,
as quoted on TechNet-21: a month and year only, "may be used up to and including the last day of
that month"; and a beyond-use date never exceeds the expiration date (Vermont Department of
Health, as quoted; CDC module reviewed 2024-02-02). Rows B1, B2 and B3 of the project's
cold-chain check table, read on 2026-11-25. Times are US Central. Tolerance: none.
"""

from datetime import UTC, datetime, timedelta

import pytest

from thawline.adapters.rule_files import load
from thawline.base.instants import instant
from thawline.vial.expiry import read_expiry
from thawline.vial.reckon import reckon
from thawline.vial.story import read_story

RULES = load("published-2021-02").protocol


def in_the_refrigerator(expiry, since):
    fact = {"at": since, "what": "to-fridge"}
    told = {"lot": "ZZ-1041", "expiry": expiry, "zone": "America/Chicago", "events": [fact]}
    return read_story(told)


@pytest.mark.parametrize(
    ("printed", "last_day"),
    [("2021-08", "2021-08-31"), ("2024-02", "2024-02-29")],
    ids=["B1", "B2"],
)
def test_b1_b2_a_month_and_year_are_usable_through_the_months_last_day(printed, last_day):
    assert read_expiry(printed).isoformat() == last_day


@pytest.mark.parametrize(
    ("later", "usable"),
    [(timedelta(milliseconds=-1), True), (timedelta(0), False)],
    ids=["through 31 August", "on 1 September"],
)
def test_b1_the_last_day_counts_to_its_end(later, usable):
    september = instant(datetime(2021, 9, 1, 5, tzinfo=UTC))  # 00:00 US Central
    story = in_the_refrigerator("2021-08", "2021-08-20T08:00:00-05:00")

    assert reckon(story, RULES, september + later).usable is usable


def test_b3_thirty_days_from_the_freezer_do_not_outlast_the_label():
    """Thawed 20 August 2021, expiry 08/2021: through 31 August, not 19 September."""
    story = in_the_refrigerator("2021-08", "2021-08-20T08:00:00-05:00")
    thirty_days = in_the_refrigerator("2021-12", "2021-08-20T08:00:00-05:00")
    asked = instant(datetime(2021, 8, 21, 12, tzinfo=UTC))

    found = reckon(story, RULES, asked)

    assert (found.set_by, found.use_by) == ("label", datetime(2021, 9, 1, 5, tzinfo=UTC))
    assert reckon(thirty_days, RULES, asked).use_by == datetime(2021, 9, 19, 13, tzinfo=UTC)
