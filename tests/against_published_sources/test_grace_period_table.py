"""
The 4-day grace period taken from minimum intervals, against a printed table.

Vaccine 2022;40(5):765-773, PMC8856130, Table 1: minimum intervals with the grace period taken
off, in days; as the check tables of 2026-11-25 give it. Row 10 of the clinical check table.
The table's intervals in months (6 months as 179 days, 12 months as 361) are left out: an
interval of this rule is days.
"""

from datetime import date, timedelta

import pytest

from thawline.base.durations import read_allowance
from thawline.rebook.interval import second_dates, verdict_on
from thawline.rules.protocol import SecondDose


def _interval(weeks: int) -> SecondDose:
    return SecondDose(
        item="B1",
        earliest=read_allowance(f"P{weeks}W"),
        grace_for_judging=read_allowance("P4D"),
        late_after=read_allowance("P1000D"),
        source="PMC8856130",
    )


@pytest.mark.parametrize(("weeks", "days"), [(4, 24), (6, 38), (8, 52), (24, 164)])
def test_the_first_valid_day_is_the_interval_less_four_days(weeks, days):
    first = date(2021, 1, 1)

    assert second_dates(first, _interval(weeks)).earliest_valid == first + timedelta(days=days)
    assert verdict_on(days, _interval(weeks)) == "grace"
    assert verdict_on(days - 1, _interval(weeks)) == "error"
