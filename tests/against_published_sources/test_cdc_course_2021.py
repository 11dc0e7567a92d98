"""
Centers for Disease Control and Prevention, web course page for the 28-day product: the schedule
as reviewed 16 July 2021, and doses given too early as reviewed 3 December 2021.

As excerpted in the project's clinical check values, section 1.2; read there on 2026-11-25.
Tolerance: none.
"""

import pytest
from tests.against_published_sources.printed_figures import figure

from thawline.adapters import rule_files
from thawline.base.instants import read_instant

FILES = ["published-2021-02", "published-2021-12", "published-2022"]


@pytest.mark.parametrize("name", FILES)
def test_day_28_with_4_days_of_grace_and_late_after_6_weeks(name):
    assert figure(name, "schedule.dose_2.earliest") == "P28D"
    assert figure(name, "schedule.dose_2.grace_for_judging") == "P4D"
    assert figure(name, "schedule.dose_2.late_after") == "P42D"


@pytest.mark.parametrize(
    ("day", "repeated"),
    [("2021-07-16", False), ("2021-12-02", False), ("2021-12-03", True), ("2022-06-01", True)],
)
def test_a_dose_before_the_grace_days_is_repeated_since_december_2021(day, repeated):
    schedule = rule_files.load("published", read_instant(f"{day}T00:00:00Z")).protocol.schedule

    assert schedule.dose_2.repeat_when_too_early is repeated


def test_the_repeat_is_spaced_28_days_from_the_dose_that_came_too_early():
    assert figure("published-2021-12", "schedule.dose_2.repeat_after") == "P28D"
