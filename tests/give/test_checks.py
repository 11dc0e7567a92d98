"""All that is said of a dose, before the needle and after it."""

from datetime import date, timedelta

from tests.give.chair import CHAIR, DOSE, NOON, PERSON, RULE, chair, codes, dose, found, person

from thawline.base.findings import Finding, Level
from thawline.give.checks import given_findings
from thawline.give.facts import Became, ToCome, Unanswered

WAITING = Unanswered("DEMO-004216", NOON - timedelta(minutes=4))
FIRST = date(2026, 2, 5)
EARLY = ToCome(FIRST, date(2026, 3, 5))
IN_GRACE = Finding(Level.CHECK, "in-grace", "Dose 2 came early. Day 26: valid.", "B1")


def _given(person=PERSON, dose=DOSE, chair=CHAIR, interval=()):
    return given_findings(person, dose, chair, RULE, interval)


def test_the_person_before_at_this_chair_without_a_record_is_named():
    (act,) = found(chair=chair(unanswered=(WAITING,)))

    assert (act.level, act.code) == (Level.ACT, "dose-not-recorded")
    assert act.says.startswith("Nothing is recorded for DEMO-004216, checked 11:56 at chair 3.")


def test_a_station_nobody_named_is_left_out():
    (act,) = found(chair=chair(station="", unanswered=(WAITING,)))

    assert "checked 11:56." in act.says


def test_everything_is_said_at_once_and_the_worst_first():
    worn = dose(became=Became.GIVEN, lot="ZZ-1107")

    said = found(person(needs="lying down"), worn, chair(unanswered=(WAITING,)))

    assert codes(said) == [
        "syringe-used",
        "dose-not-recorded",
        "needs-help",
        "lot-of-another-table",
    ]


def test_a_dose_that_nothing_was_wrong_with_is_given_without_a_word():
    assert _given() == ()


def test_a_dose_given_past_its_use_by_is_a_fact_to_tell_and_report():
    (stop,) = _given(chair=chair(now=NOON + timedelta(hours=3)))

    assert (stop.level, stop.code, stop.item) == (Level.STOP, "past-use-by", "C4")
    assert stop.says.endswith("tell the person and the clinical lead, and report it.")
    assert "Set it aside" not in stop.says


def test_a_dose_given_early_is_judged_and_no_longer_refused():
    early = person(dose_number=2, doses_on=(FIRST,), to_come=EARLY)

    assert codes(found(early)) == ["too-early"]
    assert _given(early, interval=(IN_GRACE,)) == (IN_GRACE,)


def test_what_was_only_worth_a_look_asks_for_no_report():
    (check,) = _given(dose=dose(lot="ZZ-1107"))

    assert (check.level, check.code) == (Level.CHECK, "lot-of-another-table")
    assert "report" not in check.says


def test_help_needed_and_the_person_before_are_not_said_of_a_dose_given():
    assert _given(person(needs="wheelchair"), chair=chair(unanswered=(WAITING,))) == ()


def test_what_the_vial_went_through_is_said_of_the_dose_given():
    refrozen = Finding(Level.STOP, "refrozen", "frozen again", "T1")

    assert codes(_given(dose=dose(handling=(refrozen,)))) == ["refrozen"]
