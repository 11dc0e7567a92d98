"""
Second doses of the 28-day vaccine, against the health authority's web course page.

Centers for Disease Control and Prevention, web course page for the 28-day product, reviewed
16 July 2021 and again 3 December 2021 (as the check tables of 2026-11-25 give them): day
counting, the 4-day grace, what an early dose counts as, and from December 2021 that a primary
dose before the grace period is repeated, by the general rule no sooner than 28 days after it.
Rows 1 to 3 of the clinical check table, and its rule-versioning test 1. The window up to six
weeks (row 4): interim clinical considerations of January 2021, as quoted by several outlets.
The days are printed; the dates are counted from them, for a first dose on Friday 1 January
2021.
"""

from datetime import UTC, date, datetime, timedelta

import pytest

from thawline.adapters.rule_files import load
from thawline.base.instants import instant
from thawline.rebook.interval import SecondDates, judged, second_dates

FIRST = date(2021, 1, 1)


def _rule(name: str):
    return load(name).protocol.schedule.dose_2


HALF_2021, DECEMBER_2021 = "published-2021-02", "published-2021-12"


@pytest.mark.parametrize("version", [HALF_2021, DECEMBER_2021])
def test_a_first_dose_on_new_years_day_sets_the_printed_dates(version):
    assert second_dates(FIRST, _rule(version)) == SecondDates(
        earliest_valid=date(2021, 1, 25),
        earliest_bookable=date(2021, 1, 29),
        due=date(2021, 1, 29),
        late_after=date(2021, 2, 12),
    )


@pytest.mark.parametrize(
    ("given", "verdict"),
    [
        (date(2021, 1, 24), "error"),
        (date(2021, 1, 25), "grace"),
        (date(2021, 1, 28), "grace"),
        (date(2021, 1, 29), "recommended"),
        (date(2021, 1, 30), "in-window"),
        (date(2021, 2, 12), "in-window"),
        (date(2021, 2, 13), "late"),
    ],
    ids=["day 23", "day 24", "day 27", "day 28", "day 29", "day 42", "day 43"],
)
@pytest.mark.parametrize("version", [HALF_2021, DECEMBER_2021])
def test_each_day_counts_as_the_course_says(version, given, verdict):
    assert judged(FIRST, given, _rule(version)).verdict == verdict


def test_in_the_first_half_of_2021_a_dose_on_day_20_was_not_repeated():
    judgement = judged(FIRST, date(2021, 1, 21), _rule(HALF_2021))

    assert judgement.repeat_not_before is None


def test_from_december_2021_a_dose_on_day_20_is_repeated_28_days_after_it():
    judgement = judged(FIRST, date(2021, 1, 21), _rule(DECEMBER_2021))

    assert judgement.repeat_not_before == date(2021, 2, 18)


def test_the_page_of_3_december_2021_counts_from_its_day():
    day_before = load("published", _noon(date(2021, 12, 2)))
    its_day = load("published", _noon(date(2021, 12, 3)))

    assert day_before.protocol.schedule.dose_2.repeat_when_too_early is False
    assert its_day.protocol.schedule.dose_2.repeat_when_too_early is True


def test_a_late_second_dose_counts_and_the_series_is_not_restarted():
    says = judged(FIRST, FIRST + timedelta(days=200), _rule(HALF_2021)).says

    assert says.endswith("it counts, and the series is not restarted.")


def _noon(day: date):
    return instant(datetime(day.year, day.month, day.day, 12, tzinfo=UTC))
