"""The worked example of docs/background/second-dose.md, dates as typed there."""

from datetime import date

import pytest
from msgspec.structs import replace
from tests.rebook.rules import MADE_UP, always, on

from thawline.base.durations import read_allowance
from thawline.rebook.interval import SecondDates, judged, second_dates
from thawline.rebook.series import DoseDay, awaited, on_day

RULE = replace(
    MADE_UP,
    earliest=read_allowance("P28D"),
    grace_for_judging=read_allowance("P4D"),
    late_after=read_allowance("P42D"),
)
REPEATS = replace(RULE, repeat_when_too_early=True, repeat_after=read_allowance("P28D"))
FIRST = date(2026, 2, 3)


def test_the_dates():
    assert second_dates(FIRST, RULE) == SecondDates(
        earliest_valid=date(2026, 2, 27),
        earliest_bookable=date(2026, 3, 3),
        due=date(2026, 3, 3),
        late_after=date(2026, 3, 17),
    )


@pytest.mark.parametrize(
    ("given", "verdict"),
    [
        (date(2026, 2, 26), "error"),
        (date(2026, 3, 2), "grace"),
        (date(2026, 3, 3), "recommended"),
        (date(2026, 3, 17), "in-window"),
        (date(2026, 3, 18), "late"),
    ],
)
def test_the_verdicts(given, verdict):
    assert judged(FIRST, given, RULE).verdict == verdict


def test_the_repeat():
    assert judged(FIRST, date(2026, 2, 26), REPEATS).repeat_not_before == date(2026, 3, 26)


def test_the_uncertain_first_dose():
    first = DoseDay(FIRST, date(2026, 2, 4))

    assert awaited([first], on_day(date(2026, 2, 10)), always(RULE)).due == date(2026, 3, 4)
    assert awaited(on(FIRST), on_day(date(2026, 2, 10)), always(RULE)).due == date(2026, 3, 3)
