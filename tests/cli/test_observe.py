"""`thawline observe`: what a person or a program reads in the observation area."""

import pytest
from tests.cast import BRYONY, HAZEL, PINS, SORREL
from tests.cli.people import ADA, SCREENED, at_the_chair

BY = ("--by", SORREL)


@pytest.fixture
def area(clinic, tmp_path):
    """One person with a dose of 09:00 and the usual stay."""
    place = at_the_chair(clinic, tmp_path)
    give = ("dose", "give", "--person", ADA, "--syringe", place.syringes[0], *SCREENED)
    place.run(*give, "--at", "09:00", "--by", HAZEL)
    return place


def test_the_list_says_from_when_each_may_leave(area):
    code, answer = area.ask("observe", "list", "--at", "09:10")

    assert code == 0
    assert answer["data"]["here"] == [
        {
            "person": ADA,
            "may_leave_from": "2026-02-03T09:15:00-06:00",
            "may_leave": False,
            "item": "O1",
        }
    ]
    assert area.ask("observe", "list", "--at", "09:15")[1]["data"]["here"][0]["may_leave"]


def test_who_left_early_is_to_be_called(area):
    code, answer = area.ask("observe", "leave", ADA, "--at", "09:10", *BY)

    assert (code, answer["alerts"][0]["code"]) == (1, "left-early")
    _, out, _ = area.run("observe", "list", "--at", "09:30")
    assert f"Nobody is here\nCall {ADA}: left early 09:10" in out


def test_one_word_stamps_and_says_when_the_next_dose_may_come(area):
    code, out, _ = area.run("observe", "stamp", "--at", "10:00")

    assert code == 0
    assert "If not better, next dose from 10:05 to 10:15, item E4" in out


def test_a_call_is_stamped_without_a_window_and_the_card_is_named_later(area):
    _, answer = area.ask("observe", "stamp", "called", "--at", "10:00")
    code, named = area.ask("observe", "name", ADA, *BY)

    assert "next_from" not in answer["data"]
    assert (code, named["data"]["record"]["person"]) == (0, ADA)


def test_the_card_prints_without_a_weight_and_the_calculator_only_with_one(area):
    _, out, _ = area.run("observe", "card")
    _, answer = area.ask("observe", "card", "--weight-kg", "90")

    assert "Adult dose: 0.3 mg = 0.3 mL of 1 mg/mL." in out
    assert "Calculator" not in out
    assert answer["data"]["by_weight_mg"] == 0.5
    assert "at most 0.5 mg" in area.run("observe", "card", "--weight-kg", "90")[1]


def test_two_doses_in_the_kit_refuse_the_next_check_until_the_clinical_lead_resumes(area):
    lead = ("--by", BRYONY, "--pin", PINS[BRYONY], "--why", "kit-complete")
    area.run("site", "pin", BRYONY, PINS[BRYONY], "--role", "clinical lead")
    area.run("observe", "kit", "--doses", "2@2026-08-31", "--able", HAZEL, *BY)
    check = ("dose", "check", "--person", ADA, "--syringe", area.syringes[1], *SCREENED)
    code, answer = area.ask(*check)

    assert code == 4
    assert "vaccinating-paused" in [alert["code"] for alert in answer["alerts"]]
    area.run("observe", "kit", "--doses", "3@2026-08-31", "--able", HAZEL, *BY)
    assert "vaccinating-paused" in [a["code"] for a in area.ask(*check)[1]["alerts"]]
    assert area.ask("observe", "resume", *lead)[0] == 0
    assert "vaccinating-paused" not in [a["code"] for a in area.ask(*check)[1]["alerts"]]
