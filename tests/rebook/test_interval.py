"""Second-dose dates and verdicts, with made-up days; published ones are tested elsewhere."""

from datetime import date, timedelta

import pytest
from hypothesis import given
from hypothesis import strategies as st
from msgspec.structs import replace
from tests.rebook.rules import FIRST, MADE_UP, REPEATS

from thawline.base.errors import RecordError, RuleError
from thawline.base.findings import Level
from thawline.rebook.interval import SecondDates, Verdict, judged, second_dates, verdict_on


def test_a_first_dose_sets_the_dates_of_the_second():
    assert second_dates(FIRST, MADE_UP) == SecondDates(
        earliest_valid=date(2026, 2, 20),
        earliest_bookable=date(2026, 2, 23),
        due=date(2026, 2, 23),
        late_after=date(2026, 3, 5),
    )


@pytest.mark.parametrize(
    ("day", "verdict"),
    [
        (0, "error"),
        (16, "error"),
        (17, "grace"),
        (19, "grace"),
        (20, "recommended"),
        (21, "in-window"),
        (30, "in-window"),
        (31, "late"),
    ],
)
def test_each_verdict_ends_on_its_day(day, verdict):
    assert judged(FIRST, FIRST + timedelta(days=day), MADE_UP).verdict == verdict


def test_a_dose_in_error_is_not_repeated_where_the_rule_does_not_say_so():
    judgement = judged(FIRST, date(2026, 2, 13), MADE_UP)

    assert judgement.repeat_not_before is None
    assert "Do not repeat it" in judgement.says


def test_a_repeat_is_spaced_from_the_dose_that_came_too_early():
    judgement = judged(FIRST, date(2026, 2, 13), REPEATS)

    assert judgement.repeat_not_before == date(2026, 3, 5)
    assert "Repeat it, not before 2026-03-05" in judgement.says


@pytest.mark.parametrize("day", [17, 20, 25, 40])
def test_a_dose_that_counts_is_never_repeated(day):
    assert judged(FIRST, FIRST + timedelta(days=day), REPEATS).repeat_not_before is None


@pytest.mark.parametrize(
    ("day", "found"),
    [
        (16, [("too-early", Level.ACT, "B1")]),
        (17, [("in-grace", Level.CHECK, "B1")]),
        (20, []),
        (31, []),
    ],
    ids=["too early", "in the grace", "on the day", "late"],
)
def test_only_early_doses_are_findings(day, found):
    findings = judged(FIRST, FIRST + timedelta(days=day), MADE_UP).findings

    assert [(f.code, f.level, f.item) for f in findings] == found


def test_late_is_counted_and_never_restarts_the_series():
    says = judged(FIRST, FIRST + timedelta(days=31), MADE_UP).says

    assert says == "Day 31, late after day 30: it counts, and the series is not restarted."


def test_each_verdict_names_the_day_and_its_limit():
    says = {
        day: judged(FIRST, FIRST + timedelta(days=day), MADE_UP).says for day in (18, 20, 25)
    }

    assert "Day 18: valid by the 3 days of grace" in says[18]
    assert "from day 20" in says[18]
    assert says[20] == "Day 20: the recommended day."
    assert says[25] == "Day 25: in the window, up to day 30."


def test_the_limit_of_validity_is_named_to_whoever_was_too_early():
    says = judged(FIRST, FIRST + timedelta(days=16), MADE_UP).says

    assert says.startswith("Day 16, valid from day 17: an administration error.")


def test_a_second_dose_before_the_first_is_a_wrong_date_and_both_are_named():
    with pytest.raises(RecordError, match=r"2026-02-02.*2026-02-03"):
        judged(FIRST, date(2026, 2, 2), MADE_UP)


def test_a_rule_that_repeats_says_how_long_after():
    unclear = replace(MADE_UP, repeat_when_too_early=True)

    with pytest.raises(RuleError, match="B1 repeats a dose"):
        judged(FIRST, date(2026, 2, 13), unclear)


def test_a_date_at_the_end_of_the_calendar_is_refused_by_its_value():
    with pytest.raises(RecordError, match="9999-12-20"):
        second_dates(date(9999, 12, 20), MADE_UP)


@given(st.integers(0, 400))
def test_waiting_longer_never_makes_a_dose_worse_than_too_early(day):
    order = list(Verdict)

    assert order.index(verdict_on(day, MADE_UP)) <= order.index(verdict_on(day + 1, MADE_UP))
