"""
After the needle: a dose that was given is a fact, never refused, and all that is wrong is said.

The limits are the made-up protocol's of `tests/cast.py`; where they are the published ones,
the source stands beside the test.
"""

from dataclasses import replace

import pytest
from tests.app.chairs import (
    DAY_27,
    DAY_28,
    FEN,
    MARSH,
    STRANGER,
    a_chair,
    asked,
    at_time,
    book,
    card,
    given,
    left_in,
    needle,
    noted,
    unscreened,
)
from tests.cast import HAZEL, LOT, ROWAN, a_day, at, codes

from thawline.adapters import rule_files
from thawline.app.doses import give, unrecorded
from thawline.app.holds import hold, hold_lot
from thawline.app.vials import move, waste
from thawline.base.findings import Level
from thawline.base.instants import Occurred, exactly, read_instant
from thawline.ledger.events import DoseGiven
from thawline.vial.folds import VIAL
from thawline.vial.syringes import SYRINGE

TOLD = "It was given: tell the person and the clinical lead, and report it."


def test_a_dose_in_order_is_recorded_with_everything_known_of_it():
    day, vial, (syringe, *_) = a_chair()

    outcome = given(day, needle(code=syringe, arm="left", volume_ul=500), "09:00")

    assert outcome.findings == ()
    assert outcome.event == DoseGiven(
        person=MARSH,
        dose_number=1,
        lot=LOT,
        syringe=syringe,
        vial=vial,
        doses_from=f"syringe:{syringe}",
        arm="left",
        volume_ul=500,
        screened_by="Sorrel Kettlewick",
        screening="give-15",
        given_by=HAZEL,
    )


def test_a_dose_leaves_its_syringe_and_is_given_by_the_book():
    day, _, (syringe, *_) = a_chair()

    given(day, needle(code=syringe), "09:00")

    assert (left_in(day, f"syringe:{syringe}"), left_in(day, "given")) == (0, 1)
    state = day.one(SYRINGE, syringe)
    assert (state.became, state.person) == ("given", MARSH)


# --- whatever it breaks -------------------------------------------------------------------


def past_use_by(day, syringe):
    return given(day, needle(code=syringe), "12:00")


def of_a_held_vial(day, syringe):
    hold(day.site, day.doing("08:00", why="shaken"), [syringe.partition("-")[0]])
    return given(day, needle(code=syringe), "09:00")


def of_a_held_lot(day, syringe):
    hold_lot(day.site, day.doing("08:00", why="withdrawn"), LOT, "UV-3")
    return given(day, needle(code=syringe), "09:00")


def of_a_used_syringe(day, syringe):
    given(day, needle(FEN, syringe), "08:00")
    return given(day, needle(code=syringe), "09:00")


def of_a_wasted_syringe(day, syringe):
    waste(day.site, day.doing("08:00"), f"syringe:{syringe}", 1, "spilled")
    return given(day, needle(code=syringe), "09:00")


def of_an_unknown_syringe(day, syringe):
    return given(day, needle(code=f"{syringe[:-2]}77"), "09:00")


def to_a_stranger(day, syringe):
    return given(day, needle(STRANGER, syringe), "09:00")


def to_somebody_unscreened(day, syringe):
    return given(day, unscreened(needle(code=syringe)), "09:00")


def to_somebody_not_to_get_it(day, syringe):
    return given(day, needle(code=syringe, screening="contraindicated"), "09:00")


def a_second_one_today(day, syringe):
    given(day, needle(code=f"{syringe[:-2]}02"), "08:00")
    return given(day, needle(code=syringe), "09:00")


def a_third_one(day, syringe):
    card(day, "2025-11-03")
    card(day, "2025-12-01")
    return given(day, needle(code=syringe), "09:00")


@pytest.mark.parametrize(
    ("happen", "code"),
    [
        (past_use_by, "past-use-by"),
        (of_a_held_vial, "held"),
        (of_a_held_lot, "lot-held"),
        (of_a_used_syringe, "syringe-used"),
        (of_a_wasted_syringe, "syringe-wasted"),
        (of_an_unknown_syringe, "dose-not-known"),
        (to_a_stranger, "person-not-known"),
        (to_somebody_unscreened, "not-screened"),
        (to_somebody_not_to_get_it, "screened-not-to-give"),
        (a_second_one_today, "dose-today"),
        (a_third_one, "already-two-doses"),
    ],
)
def test_a_dose_given_is_recorded_whatever_it_breaks(happen, code):
    """Source: practice.md 2: recorded what happened, never refused, with findings."""
    day, _, (syringe, *_) = a_chair()

    outcome = happen(day, syringe)

    assert code in codes(outcome.findings)
    assert code in outcome.event.codes
    assert day.entries()[-1].event == outcome.event
    assert outcome.findings[0].level is Level.STOP


def test_what_is_said_after_the_needle_is_what_to_do_now():
    day, _, (syringe, *_) = a_chair()

    (finding,) = past_use_by(day, syringe).findings

    assert finding.says == (
        f"Syringe {syringe} is past its use-by time. Opened 07:00. Use by 12:00, now 12:00. "
        + TOLD
    )


def test_the_same_syringe_given_twice_is_a_dose_the_book_did_not_hold():
    day, _, (syringe, *_) = a_chair()
    given(day, needle(FEN, syringe), "08:00")

    outcome = given(day, needle(MARSH, syringe), "09:00")

    assert outcome.event.doses_from is None
    assert (left_in(day, "given"), left_in(day, "extra")) == (2, -1)
    assert left_in(day, f"syringe:{syringe}") == 0


def test_a_dose_of_an_unknown_syringe_has_no_lot_and_comes_from_no_account():
    day, _, (syringe, *_) = a_chair()

    event = of_an_unknown_syringe(day, syringe).event

    assert (event.lot, event.doses_from) == (None, None)
    assert left_in(day, "given", "?") == 1


def test_giving_asks_for_nobody_else_at_the_chair():
    day, _, syringes = a_chair()
    noted(day, needle(FEN, syringes[1]), "08:50")

    assert given(day, needle(code=syringes[0]), "09:00").findings == ()


def test_help_needed_is_not_said_any_more_after_the_needle():
    day, _, (syringe, *_) = a_chair()
    book(day, "DEMO-000007", needs="lying down")

    assert given(day, needle("DEMO-000007", syringe), "09:00").findings == ()


# --- early, judged by the version of the day ----------------------------------------------


def test_day_27_is_a_fact_in_grace_and_named():
    """Source: CDC web course page on the 4-day grace period, reviewed July 2021: days 24-27."""
    day, _, (syringe, *_) = a_chair()
    card(day, DAY_27)

    outcome = given(day, needle(code=syringe), "09:00")

    assert [(each.code, each.level) for each in outcome.findings] == [("in-grace", Level.CHECK)]
    assert (outcome.event.dose_number, outcome.event.codes) == (2, ())


def test_day_28_is_no_finding():
    day, _, (syringe, *_) = a_chair()
    card(day, DAY_28)

    assert given(day, needle(code=syringe), "09:00").findings == ()


@pytest.mark.parametrize(
    ("first", "code"), [("2026-01-10", "in-grace"), ("2026-01-11", "too-early")]
)
def test_grace_ends_before_day_24(first, code):
    """Source: as above: day 24 is valid by grace, day 23 an administration error."""
    day, _, (syringe, *_) = a_chair()
    card(day, first)

    assert codes(given(day, needle(code=syringe), "09:00").findings) == [code]


def published_day():
    """Return a site that took two published versions into use on their days, in 2021."""
    first = read_instant("2021-02-01T00:00:00Z")
    day = a_day(rule_files.load("published-2021-02"), vials=0, since=first)
    day.now = read_instant("2021-12-03T00:00:00Z")
    day.adopt(rule_files.load("published-2021-12"), by=ROWAN)
    day.now = at("00:00")
    book(day, MARSH)
    return day


def early(day, first, given_on):
    """Record a second dose of an unlabelled syringe; return its finding about the interval."""
    card(day, first)
    then = exactly(read_instant(f"{given_on}T10:00:00-06:00"))
    doing = day.doing("12:00", occurred=then)
    outcome = give(day.site, doing, needle(code="HK47M-01"))
    (found,) = (each for each in outcome.findings if each.code == "too-early")
    return outcome, found


def test_an_early_dose_of_june_2021_is_not_repeated():
    """Source: CDC web course page, reviewed 16 July 2021: error, report it, do not repeat."""
    outcome, found = early(published_day(), "2021-06-01", "2021-06-21")

    assert "Day 20" in found.says
    assert "Do not repeat it." in found.says
    assert outcome.protocol.version == 1


def test_an_early_dose_of_december_2021_is_repeated_28_days_after_it():
    """Source: CDC page reviewed 3 December 2021, and the general rule: 28 days from it."""
    outcome, found = early(published_day(), "2021-11-20", "2021-12-10")

    assert "Repeat it, not before 2022-01-07." in found.says
    assert outcome.protocol.version == 2


def test_the_day_of_the_dose_decides_and_not_the_day_it_is_typed_in():
    """Both are typed in February 2026, when the later version is in force."""
    on_a_day_before = early(published_day(), "2021-11-11", "2021-12-01")[1]
    on_the_first_day = early(published_day(), "2021-11-13", "2021-12-03")[1]

    assert "Do not repeat it." in on_a_day_before.says
    assert "Repeat it" in on_the_first_day.says


def test_a_repeat_is_judged_from_the_dose_that_came_too_early():
    """Source: GBPG / MMWR RR-60(2) 2011, p. 36-37 as quoted: spaced from the invalid dose."""
    day = published_day()
    early(day, "2021-12-05", "2021-12-25")  # day 20; the repeat not before 22 January

    then = exactly(read_instant("2022-01-10T10:00:00-06:00"))
    outcome = give(day.site, day.doing("12:00", occurred=then), needle(code="HK47M-02"))

    (found,) = (each for each in outcome.findings if each.code == "too-early")
    assert "Day 16" in found.says


# --- drawn and given at the chair ---------------------------------------------------------


def test_a_dose_drawn_at_the_chair_leaves_the_vial():
    day, vial, _ = a_chair(doses=3)

    outcome = given(day, needle(code=vial), "09:00")

    assert outcome.findings == ()
    assert (outcome.event.vial, outcome.event.syringe) == (vial, None)
    assert outcome.event.doses_from == f"vial:{vial}"
    assert (left_in(day, f"vial:{vial}"), day.one(VIAL, vial).left) == (4, 4)


def test_a_ninth_dose_at_the_chair_is_an_extra_one():
    day, vial, _ = a_chair(doses=8)

    outcome = given(day, needle(code=vial), "09:00")

    assert outcome.event.doses_from is None
    assert codes(outcome.findings) == ["extra-dose"]
    assert (left_in(day, f"vial:{vial}"), left_in(day, "extra")) == (0, -1)


def test_a_dose_from_a_vial_nobody_opened_is_a_fact_and_opens_it():
    day, *_ = a_chair()
    (ready,) = day.thaw()
    move(day.site, day.doing("07:00", by=ROWAN), [ready], "table")

    outcome = given(day, needle(code=ready), "08:00")

    assert codes(outcome.findings) == ["not-open"]
    assert asked(day, needle(FEN, ready), "12:59").may
    assert not asked(day, needle(FEN, ready), "13:00").may


# --- uncertain times ----------------------------------------------------------------------


def test_of_an_uncertain_time_the_later_bound_is_held_against_the_use_by():
    day, _, (syringe, *_) = a_chair()

    outcome = give(day.site, at_time(day, "11:30", "12:00"), needle(code=syringe))

    assert codes(outcome.findings) == ["past-use-by"]


def test_of_an_uncertain_day_the_earlier_is_held_against_the_interval():
    day, _, (syringe, *_) = a_chair()
    card(day, "2026-01-06")  # the Tuesday is day 28, the night before it day 27

    night = Occurred(at("23:50", day=2), at("00:20"))
    doing = replace(day.doing("07:20"), occurred=night)
    outcome = give(day.site, doing, needle(code=syringe))

    assert "in-grace" in codes(outcome.findings)


def test_a_dose_dated_before_its_syringe_was_drawn_is_told():
    day, _, (syringe, *_) = a_chair()

    before = at_time(day, "07:00", "07:09")
    outcome = give(day.site, before, needle(code=syringe))

    assert codes(outcome.findings) == ["before-drawn"]
    assert outcome.findings[0].says == (
        f"Syringe {syringe} was drawn 07:10, which is after 07:09: one of the times is wrong. "
        "Correct it."
    )


def test_a_dose_of_the_minute_it_was_drawn_is_in_order():
    day, _, (syringe, *_) = a_chair()

    assert give(day.site, day.doing("07:10"), needle(code=syringe)).findings == ()


# --- what it answers ----------------------------------------------------------------------


def test_a_dose_answers_the_checks_of_its_day():
    day, _, syringes = a_chair()
    noted(day, needle(code=syringes[0]), "09:00")

    given(day, needle(code=syringes[1]), "09:05")

    assert unrecorded(day.site) == []


def test_the_same_id_gives_the_same_dose_once():
    day, _, (syringe, *_) = a_chair()
    doing = day.doing("09:00", station="chair 3")

    first = give(day.site, doing, needle(code=syringe))
    again = give(day.site, doing, needle(code=syringe))

    assert (again.receipt.again, again.receipt.seq) == (True, first.receipt.seq)
    assert left_in(day, "given") == 1
