"""Second-dose dates and verdicts, with made-up days; published ones are tested elsewhere."""

from datetime import date, timedelta

import pytest
from hypothesis import given
from hypothesis import strategies as st
from msgspec.structs import replace
from tests.rebook.rules import FIRST, MADE_UP, REPEATS

from thawline.base.errors import RecordError, RuleError
from thawline.base.findings import Finding, Level
from thawline.rebook.interval import SecondDates, Verdict, judged, second_dates, verdict_on

DAYS = (16, 17, 20, 31)


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
    assert judgement.says == (
        "Day 10, valid from day 17: an administration error. Repeat it, not before 2026-03-05. "
        "Tell the person, report it."
    )


@pytest.mark.parametrize("day", [17, 20, 25, 40])
def test_a_dose_that_counts_is_never_repeated(day):
    assert judged(FIRST, FIRST + timedelta(days=day), REPEATS).repeat_not_before is None


def test_only_early_doses_are_findings():
    found = {day: judged(FIRST, FIRST + timedelta(days=day), MADE_UP).findings for day in DAYS}

    assert found[16] == (
        Finding(
            Level.ACT,
            "too-early",
            "Dose 2 came too early. Day 16, valid from day 17: an administration error. "
            "Do not repeat it. Tell the person, report it.",
            "B1",
        ),
    )
    assert found[17] == (
        Finding(
            Level.CHECK,
            "in-grace",
            "Dose 2 came early. Day 17: valid by the 3 days of grace, which judge and never "
            "book; booking is from day 20.",
            "B1",
        ),
    )
    assert found[20] == found[31] == ()


def test_late_is_counted_and_never_restarts_the_series():
    says = judged(FIRST, FIRST + timedelta(days=31), MADE_UP).says

    assert says == "Day 31, late after day 30: it counts, and the series is not restarted."


def test_the_recommended_day_and_the_window_are_said():
    says = {day: judged(FIRST, FIRST + timedelta(days=day), MADE_UP).says for day in (20, 25)}

    assert says[20] == "Day 20: the recommended day."
    assert says[25] == "Day 25: in the window, up to day 30."


def test_a_second_dose_before_the_first_is_a_wrong_date_and_both_are_named():
    with pytest.raises(RecordError) as refused:
        judged(FIRST, date(2026, 2, 2), MADE_UP)

    assert refused.value.says == (
        "the second dose, given 2026-02-02, is before the first, given 2026-02-03"
    )
    assert refused.value.advice == "look at both dates; the earlier one is the first dose"


def test_a_rule_that_repeats_says_how_long_after():
    unclear = replace(MADE_UP, repeat_when_too_early=True)

    with pytest.raises(RuleError) as refused:
        judged(FIRST, date(2026, 2, 13), unclear)

    assert refused.value.says == (
        "item B1 repeats a dose that came too early, and not how long after"
    )
    assert refused.value.key == "schedule.dose_2.repeat_after"
    assert refused.value.advice == "write repeat_after, as in P28D"


def test_a_date_at_the_end_of_the_calendar_is_refused_by_its_value():
    with pytest.raises(RecordError, match="9999-12-20"):
        second_dates(date(9999, 12, 20), MADE_UP)


@given(st.integers(0, 400))
def test_waiting_longer_never_makes_a_dose_worse_than_too_early(day):
    order = list(Verdict)

    assert order.index(verdict_on(day, MADE_UP)) <= order.index(verdict_on(day + 1, MADE_UP))
