"""
When a reaction or an error happened, and what counts by then.

Sources of the rule: a dose is judged by what was in force in its minute (decision 0052); an
uncertain time to the safe side, so that a case is counted rather than lost, common practice.
"""

from datetime import date

import pytest
from tests.app.chairs import FEN, HEATH, MARSH, a_chair, at_time, given, needle
from tests.app.test_rules_by_time import MIDNIGHT, NINE, version
from tests.cast import ROWAN

from thawline.app import observing
from thawline.app import reactions as use
from thawline.app.calculators import Slip
from thawline.app.doses import give
from thawline.base.errors import RecordError

TUESDAY = date(2026, 2, 3)


def _judged_by(day, person, given_on=TUESDAY):
    slip = Slip("wrong-site", given_on)
    outcome, _, says = use.note_error(day.site, day.doing("18:00"), person, slip)
    return outcome.protocol.version, says


def test_an_error_is_not_judged_by_the_version_that_starts_at_the_midnight_after():
    day, *_ = a_chair()
    day.adopt(version(2, MIDNIGHT, b"P35D"), by=ROWAN)

    assert _judged_by(day, MARSH)[0] == 1


@pytest.mark.parametrize(("clock", "number"), [("08:59:59.999", 1), ("09:00", 2)])
def test_an_error_with_a_recorded_dose_is_judged_by_the_version_of_its_minute(clock, number):
    day, _, (syringe, *_) = a_chair()
    day.adopt(version(2, NINE, b"P35D"), by=ROWAN)
    given(day, needle(MARSH, syringe), clock)

    found, says = _judged_by(day, MARSH)
    assert found == number
    assert says.endswith(f"version {number}")


def test_an_error_without_a_recorded_dose_is_judged_by_the_last_version_of_its_day():
    day, *_ = a_chair()
    day.adopt(version(2, NINE, b"P35D"), by=ROWAN)

    assert _judged_by(day, HEATH)[0] == 2


def test_an_error_on_a_day_to_come_is_refused_and_nothing_is_recorded():
    day, *_ = a_chair()
    before = len(day.entries())

    with pytest.raises(RecordError, match="2026-02-04, which is still to come"):
        _judged_by(day, MARSH, date(2026, 2, 4))
    assert len(day.entries()) == before


def test_a_faint_inside_the_two_times_of_a_dose_is_counted():
    day, _, (syringe, *_) = a_chair()
    give(day.site, at_time(day, "10:00", "10:20"), needle(FEN, syringe))
    observing.stamp(day.site, day.doing("10:10"), "down", person=FEN)
    (row,) = use.doses_and_seen([day.site], "faint")

    assert (row.doses, row.seen) == (1, 1)


def test_a_faint_before_the_dose_can_have_been_given_is_none_of_it():
    day, _, (syringe, *_) = a_chair()
    observing.stamp(day.site, day.doing("09:50"), "down", person=FEN)
    given(day, needle(FEN, syringe), "10:00")
    (row,) = use.doses_and_seen([day.site], "faint")

    assert (row.doses, row.seen) == (1, 0)
