"""What refuses a dose because of the person; each differs in one fact from one who may."""

from datetime import date, timedelta

import pytest
from tests.give.chair import TODAY, codes, found, person

from thawline.base.findings import Level
from thawline.give.facts import ToCome

FIRST = date(2026, 2, 3)  # 28 days before
SECOND = {"dose_number": 2, "doses_on": (FIRST,), "to_come": ToCome(FIRST, TODAY)}


def _early(days: int):
    first = FIRST + timedelta(days=days)
    to_come = ToCome(first, TODAY + timedelta(days=days))
    return person(dose_number=2, doses_on=(first,), to_come=to_come)


def test_nothing_is_said_of_a_first_dose_that_nothing_is_wrong_with():
    assert found() == ()


def test_nothing_is_said_of_a_second_dose_on_day_28():
    assert found(person(**SECOND)) == ()


@pytest.mark.parametrize("days", [1, 4, 28], ids=["day 27", "day 24", "day 0"])
def test_no_day_before_28_is_given_not_even_those_of_grace(days):
    assert "too-early" in codes(found(_early(days)))


def test_too_early_says_since_when_and_how_long_it_still_is():
    one, two = (found(_early(days))[0] for days in (1, 2))

    assert one.says.startswith(
        "The second dose is due on or after 2026-03-04; today, day 27, is 1 day before."
    )
    assert "today, day 26, is 2 days before." in two.says
    assert (two.level, two.item) == (Level.STOP, "B1")


def test_a_person_nobody_registered_gets_nothing():
    (stop,) = found(person(known=False))

    assert (stop.level, stop.code) == (Level.STOP, "person-not-known")
    assert "'DEMO-004217'" in stop.says


def test_two_doses_on_one_day_are_stopped_as_such():
    twice = person(dose_number=2, doses_on=(TODAY,), to_come=ToCome(TODAY, date(2026, 3, 31)))

    assert codes(found(twice)) == ["dose-today", "too-early"]
    assert "on record for today, 2026-03-03." in found(twice)[0].says


def test_after_both_doses_there_is_no_third():
    (stop,) = found(person(dose_number=2, doses_on=(date(2026, 1, 2), date(2026, 1, 30))))

    assert (stop.level, stop.code) == (Level.STOP, "already-two-doses")
    assert "2 doses are on record, the last on 2026-01-30." in stop.says


def test_a_repeat_of_a_dose_too_early_may_be_given_on_its_day():
    repeat = {**SECOND, "doses_on": (date(2026, 1, 20), FIRST)}

    assert found(person(**repeat)) == ()


def test_a_second_dose_without_a_first_one_on_record_waits_for_the_card():
    (stop,) = found(person(dose_number=2))

    assert (stop.level, stop.code) == (Level.STOP, "first-dose-not-known")
    assert "Type the first dose from the card" in stop.says


def test_a_card_without_a_readable_day_stops_either_dose():
    assert codes(found(person(undated=True))) == ["first-dose-undated"]
    assert codes(found(person(undated=True, dose_number=2))) == ["first-dose-undated"]


@pytest.mark.parametrize(
    "asked", [{**SECOND, "dose_number": 1}, {**SECOND, "dose_number": 3}], ids=["1", "3"]
)
def test_another_number_than_the_records_is_looked_at(asked):
    (check,) = found(person(**asked))

    assert (check.level, check.code) == (Level.CHECK, "dose-number-differs")
    assert "by the record it is dose 2." in check.says


@pytest.mark.parametrize("outcome", ["give", "give-15", "give-30"])
def test_every_outcome_that_gives_may_have_the_dose(outcome):
    assert found(person(screening=outcome)) == ()


@pytest.mark.parametrize("outcome", ["refer", "not-today", "not-given", "contraindicated", ""])
def test_every_other_outcome_of_the_screening_stops(outcome):
    (stop,) = found(person(screening=outcome))

    assert (stop.level, stop.code) == (Level.STOP, "screened-not-to-give")
    assert repr(outcome) in stop.says


def test_whoever_was_not_screened_gets_nothing():
    (stop,) = found(person(screening=None))

    assert (stop.level, stop.code) == (Level.STOP, "not-screened")


def test_help_needed_is_shown_and_stops_nothing():
    (check,) = found(person(needs="wheelchair"))

    assert (check.level, check.says) == (Level.CHECK, "Help needed: wheelchair.")
