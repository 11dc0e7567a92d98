"""
Two doses of one person as a published card example dates them.

SMART Health Cards framework, example bundle of two doses (CVX 207): 2021-01-01, lot 0000001,
and 2021-01-29, lot 0000007; as the check tables of 2026-11-25 give it. A public explainer
counts the same way: a dose on 1 January can be followed from 29 January. Row 1 of the
clinical check table. Row 5, the leap year, is the calendar's own: 28 days after 1 February
2024 is 29 February.
"""

from datetime import date

import pytest

from thawline.adapters.rule_files import load
from thawline.rebook.interval import judged, second_dates

RULE = load("published-2021-02").protocol.schedule.dose_2


def test_the_second_dose_of_the_example_came_on_the_recommended_day():
    assert judged(date(2021, 1, 1), date(2021, 1, 29), RULE).verdict == "recommended"


@pytest.mark.parametrize(
    ("first", "due"),
    [
        (date(2021, 1, 1), date(2021, 1, 29)),
        (date(2024, 2, 1), date(2024, 2, 29)),
        (date(2021, 1, 31), date(2021, 2, 28)),
    ],
    ids=["the example", "leap year", "last of January"],
)
def test_28_days_are_counted_and_no_month(first, due):
    assert second_dates(first, RULE).due == due
