"""
Doses on the day a new version of the protocol starts, with made-up days.

The first version is valid from day 24; the other one starts at 09:00 on the Tuesday and is
valid from day 31. Sources of the rule: that a dose is judged by what was in force when it was
given, architecture of this project; uncertain times to the stricter side, common practice.
"""

from datetime import date

import pytest
from tests.app.chairs import CHAIR, DAY_28, MARSH, a_chair, asked, at_time, card, given, needle
from tests.cast import ROWAN, codes, small

from thawline.app.doses import give
from thawline.app.second import due_on
from thawline.rules.reading import read_protocol

NINE = "2026-02-03T09:00:00-06:00"
MIDNIGHT = "2026-02-04T00:00:00-06:00"
REPEATED = b'late_after = "P42D"\nrepeat_when_too_early = true\nrepeat_after = "P28D"'


def version(number, starts, earliest):
    """Return the small protocol with another first day, repeating what came too early."""
    raw = small(version=number, effective_from=starts).raw
    raw = raw.replace(b"P28D", earliest).replace(b'late_after = "P42D"', REPEATED)
    return read_protocol(raw)


def chair_on_the_day(*, later, starts=NINE, first=None):
    """Return a chair, with a first dose of 28 days ago on the card, and the new version."""
    day, _, (syringe, *_) = a_chair(first)
    day.adopt(version(2, starts, later), by=ROWAN)
    card(day, DAY_28)
    return day, needle(code=syringe)


@pytest.mark.parametrize(
    ("clock", "found", "number"),
    [("08:59:59.999", [], 1), ("09:00", ["too-early"], 2)],
    ids=["in the last moment of the old", "in the first of the new"],
)
def test_a_dose_is_judged_by_the_version_of_its_minute_and_stored_under_it(
    clock, found, number
):
    day, hand = chair_on_the_day(later=b"P35D")

    outcome = given(day, hand, clock)

    assert (codes(outcome.findings), outcome.protocol.version) == (found, number)


@pytest.mark.parametrize(("clock", "may"), [("08:59:59.999", True), ("09:00", False)])
def test_before_the_needle_it_is_asked_by_the_version_of_that_minute(clock, may):
    day, hand = chair_on_the_day(later=b"P35D")

    assert asked(day, hand, clock).may is may


def test_a_dose_given_at_some_time_around_the_change_is_judged_by_the_stricter():
    day, hand = chair_on_the_day(later=b"P35D")

    outcome = give(day.site, at_time(day, "08:30", "09:30"), hand)

    assert codes(outcome.findings) == ["too-early"]


@pytest.mark.parametrize("later", [b"P35D", b"P21D"], ids=["new stricter", "old stricter"])
def test_of_a_dose_on_a_card_only_the_day_is_known_and_the_stricter_counts(later):
    """Day 28 is too early under 35 days, whichever of the two versions says 35."""
    stricter_first = version(1, "2026-01-19T06:00:00-06:00", b"P35D")
    day, _ = chair_on_the_day(later=later, first=stricter_first if later == b"P21D" else None)
    card(day, "2026-02-03")

    asked_on = date(2026, 3, 24)
    (due,) = due_on(day.site, asked_on)[1].due

    assert (due.person, due.repeats) == (MARSH, True)


def test_a_version_that_starts_as_the_day_ends_judges_nothing_of_that_day():
    day, _ = chair_on_the_day(later=b"P35D", starts=MIDNIGHT)
    card(day, "2026-02-03")

    assert due_on(day.site, date(2026, 3, 24))[1].due == ()


def test_a_dose_recorded_here_stays_judged_by_its_own_minute():
    """It was valid at 08:30; nobody is called back because the rule changed at nine."""
    day, hand = chair_on_the_day(later=b"P35D")
    given(day, hand, "08:30", station=CHAIR)

    assert due_on(day.site, date(2026, 3, 24))[1].due == ()
