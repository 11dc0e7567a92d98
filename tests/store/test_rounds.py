"""Which readings people should have taken and did not."""

from datetime import date

import pytest
from tests.cast import CHICAGO, at

from thawline.base.durations import read_allowance
from thawline.base.findings import Level
from thawline.rules.cold import Every, TimesADay
from thawline.store.rounds import InUse, missing_at_table, missing_entries

HOURLY = Every(item="L2", every=read_allowance("PT1H"), source="demo")
TWICE = TimesADay(item="L3", times_a_day=2, source="demo")
TUESDAY = date(2026, 2, 3)


def missed(now, *read_at, until=None):
    """Return what is said about table 2, in use since 09:05."""
    table = InUse("table 2", at("09:05"), None if until is None else at(until))
    found = missing_at_table(table, [at(t) for t in read_at], HOURLY, CHICAGO, at(now))
    return [finding.says.partition(".")[0] for finding in found]


def test_a_table_read_every_hour_has_nothing_missing():
    assert missed("12:00", "10:05", "11:05") == []


@pytest.mark.parametrize(
    ("now", "said"),
    [("11:04", []), ("11:05", ["no reading at table 2 since 10:05, due 11:05"])],
    ids=["before it is due", "when it is due"],
)
def test_a_reading_that_is_due_and_not_there_is_missing(now, said):
    assert missed(now, "10:05") == said


def test_a_table_that_nobody_read_is_due_an_hour_after_the_first_vial():
    assert missed("10:30") == ["no reading at table 2 since 09:05, due 10:05"]


def test_a_reading_that_came_too_late_leaves_its_gap():
    assert missed("11:40", "11:30") == ["no reading at table 2 since 09:05, due 10:05"]


def test_readings_before_the_vials_came_do_not_count():
    assert missed("10:05", "08:50") == ["no reading at table 2 since 09:05, due 10:05"]


@pytest.mark.parametrize(("until", "count"), [("10:05", 0), ("10:06", 1)])
def test_an_empty_table_needs_no_reading(until, count):
    assert len(missed("15:00", until=until)) == count


def entries(*read_at):
    taken = [at(clock) for clock in read_at]
    return missing_entries("fridge-1", TUESDAY, taken, TWICE, CHICAGO)


def test_a_display_read_as_often_as_it_must_be_has_nothing_missing():
    assert entries("06:10", "17:20") == ()


def test_one_reading_of_two_is_said():
    (found,) = entries("06:10")

    assert (found.level, found.item) == (Level.CHECK, "L3")
    assert found.says == "1 of 2 readings of the display of fridge-1 on Tue 3 Feb"


def test_readings_of_another_day_do_not_count():
    yesterday_and_tomorrow = [at("23:59", day=2), at("00:00", day=4)]
    found = missing_entries("fridge-1", TUESDAY, yesterday_and_tomorrow, TWICE, CHICAGO)

    assert found[0].level is Level.ACT
