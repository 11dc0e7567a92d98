"""`thawline person`: what is read at the desk, and the exit code. All invented."""

from pathlib import Path

import pytest
from tests.cli.people import ADA, BEN, SCREENED, at_the_chair

BY = ("--by", "Rowan Thistle")
BRYONY = ("--name", "Bryony Testwick", "--born", "1951-01-20")


@pytest.fixture
def chair(clinic, tmp_path):
    """Three people booked, met and asked; a vial open since 07:00."""
    return at_the_chair(clinic, tmp_path)


def test_a_walk_up_is_taken_in_and_found_again_by_name_and_birth_date(clinic):
    code, taken = clinic.ask("person", "walk-up", *BRYONY, *BY)
    again, met = clinic.ask("person", "meet", *BRYONY, *BY)

    assert (code, taken["data"]["person"], taken["data"]["dose_number"]) == (0, "P-000001", 1)
    assert (again, met["data"]["person"], met["data"]["compared"]) == (0, "P-000001", "agrees")
    assert met["data"]["age"] == 75


def test_people_of_one_name_stand_side_by_side_and_nothing_is_recorded(clinic):
    clinic.run("person", "walk-up", *BRYONY, *BY)
    swapped = ("--name", "Testwick, Bryony", "--born", "1951-02-10", "--another")
    clinic.run("person", "walk-up", *swapped, *BY)

    code, out, _ = clinic.run("person", "meet", "--name", "Bryony Testwick", *BY)

    assert code == 1
    assert "P-000001  Bryony Testwick   1951-01-20" in out
    assert "P-000002  Testwick, Bryony  1951-02-10" in out
    assert out.endswith("Nothing is recorded.\n")


def test_day_and_month_swapped_is_said_in_the_last_column(clinic):
    clinic.run("person", "walk-up", "--name", "Rue Loom", "--born", "1951-02-10", *BY)

    _, out, _ = clinic.run("person", "meet", "--name", "Rue Loom", "--born", "1951-10-02", *BY)

    assert "day and month swapped" in out


def test_the_wrong_birth_date_stops_the_dose(chair):
    wrong = ("--name", "Ada Marlow", "--born", "1950-03-13")
    code, met = chair.ask("person", "meet", ADA, *wrong, *BY)
    refused, check = chair.ask(
        "dose", "check", "--person", ADA, "--syringe", chair.syringes[0], *SCREENED,
        "--at", "09:00",
    )  # fmt: skip

    assert (code, met["alerts"][0]["code"]) == (1, "identity-differs")
    assert (refused, check["alerts"][0]["code"]) == (4, "identity-differs")


def test_a_yes_taken_back_at_the_chair_stops_the_dose(chair):
    code, said = chair.ask("person", "consent", BEN, "withdrawn", "--at", "08:59", *BY)
    refused, _ = chair.ask(
        "dose", "check", "--person", BEN, "--syringe", chair.syringes[0], *SCREENED,
        "--at", "09:00",
    )  # fmt: skip

    assert (code, said["data"]["record"]["answer"], refused) == (1, "withdrawn", 4)


def test_a_guardian_and_an_interpreter_are_kept_with_the_edition(chair):
    words = ("--whose", "guardian", "--edition", "2026-01-15", "--interpreter")
    code, said = chair.ask("person", "consent", BEN, "yes", *words, *BY)

    record = said["data"]["record"]
    assert (code, record["whose"], record["interpreter"]) == (0, "guardian", True)
    assert (record["edition"], record["given_on"]) == ("2026-01-15", "2026-02-03")


def test_what_is_kept_is_put_right(chair):
    code, _ = chair.ask("person", "amend", ADA, "--born", "1950-03-13", *BY)
    _, met = chair.ask("person", "meet", "--name", "Ada Marlow", "--born", "1950-03-13", *BY)

    assert (code, met["data"]["person"]) == (0, ADA)


def test_a_site_that_keeps_consent_here_refuses_a_dose_without(chair):
    path = Path(chair.home) / "sites" / "harrowmint" / "site.toml"
    path.write_text(path.read_text() + '\n[desk]\nrefuses_without = ["consent"]\n')
    chair.run("person", "walk-up", *BRYONY, "--at", "08:50", *BY)

    words = ("--person", "P-000001", "--syringe", chair.syringes[0], *SCREENED)
    code, check = chair.ask("dose", "check", *words, "--at", "09:00")

    assert (code, check["alerts"][0]["code"]) == (4, "consent-not-known")


@pytest.mark.parametrize(
    ("words", "code", "says"),
    [
        (("--name", "Rue Loom", "--born", "2026-02-04"), 3, "a birth date after 2026-02-03"),
        (("--name", "Rue Loom", "--born", "1903-01-01"), 3, "an age of 123"),
        (("--born", "1951-01-20"), 2, "no name"),
        ((*BRYONY, "--first-dose", "2026-02-05"), 3, "which has not come yet"),
        ((*BRYONY, "--first-dose", "1950-02-05"), 3, "before the birth"),
        ((*BRYONY, "--first-dose", "2026-01-07"), 4, "due on or after 2026-02-04"),
        (("--name", "Rue Loom", "--born", "2008-02-04"), 4, "17 years old"),
    ],
)
def test_what_cannot_be_is_refused_by_its_value_and_nobody_is_taken_in(
    clinic, words, code, says
):
    got, answer = clinic.ask("person", "walk-up", *words, *BY)
    _, listed = clinic.ask("booking", "list")

    said = answer["error"]["says"] + "".join(each["says"] for each in answer["alerts"])
    assert (got, says in said) == (code, True), said
    assert listed["data"]["bookings"] == []


def test_a_booking_file_with_a_child_or_somebody_of_130_has_bad_rows(clinic, tmp_path):
    path = tmp_path / "booked.csv"
    path.write_text(
        "name,birth date,date,time,dose\n"
        "Rue Loom,2008-02-05,2026-02-04,09:00,1\n"
        "Ivy Felt,1902-02-05,2026-02-04,09:00,1\n"
        "Bryony Testwick,2008-02-04,2026-02-04,09:10,1\n"
    )

    code, answer = clinic.ask("booking", "load", str(path), *BY)

    bad = {row["line"]: row["reason"] for row in answer["data"]["bad_rows"]}
    assert (code, answer["data"]["booked"], sorted(bad)) == (1, 1, [2, 3])
    assert bad[2].startswith("17 years old on 2026-02-04. Under 18 years old: no dose here.")
    assert bad[3].startswith("an age of 123 years")


def test_a_call_sheet_is_printed_tried_and_settled(chair):
    chair.clock("18:00")
    _, out, _ = chair.run("person", "sheet")
    assert "Nobody to call about 2026-02-03." in out  # all three were met at 06:00

    chair.clock("12:00", day=4)
    path = Path(chair.home) / "more.csv"
    path.write_text(
        "person,name,date,time,dose,phone\nDEMO-000009,Rue Loom,2026-02-05,09:00,1,555-0109\n"
    )
    chair.run("booking", "load", str(path), *BY)
    chair.clock("12:00", day=6)
    code, sheet = chair.ask("person", "sheet", "--on", "2026-02-05")

    (call,) = sheet["data"]["calls"]
    assert (code, call["about"], call["phone"], call["tries"]) == (0, "no-show", "5550109", [])


def test_the_sheet_to_print_has_columns_to_write_in(clinic, tmp_path):
    path = tmp_path / "booked.csv"
    path.write_text("person,name,date,time,dose\nDEMO-000009,Rue Loom,2026-02-04,09:00,1\n")
    clinic.run("booking", "load", str(path), *BY)
    clinic.clock("12:00", day=5)
    call = ("person", "called", "DEMO-000009", "no-show")

    tried, _ = clinic.ask(*call, "no-answer", "--on", "2026-02-04", *BY)
    code, out, _ = clinic.run("person", "sheet", "--on", "2026-02-04", "--csv")
    head, row = out.splitlines()

    assert (tried, code) == (0, 1)  # nobody has a phone number
    assert head.endswith("tries,last_result,called_at,result,new_place")
    assert row.startswith("no-show,2026-02-04,DEMO-000009,Rue Loom,,")
    assert row.endswith(",1,no-answer,,,")


def test_a_new_place_is_booked_from_the_phone(clinic, tmp_path):
    path = tmp_path / "booked.csv"
    path.write_text("person,name,date,time,dose\nDEMO-000009,Rue Loom,2026-02-04,09:00,1\n")
    clinic.run("booking", "load", str(path), *BY)
    clinic.clock("12:00", day=5)
    call = ("person", "called", "DEMO-000009", "no-show", "rebooked", "--on", "2026-02-04")

    code, _ = clinic.ask(*call, "--place", "2026-02-10T10:00", *BY)
    _, listed = clinic.ask("booking", "list", "--on", "2026-02-10")
    _, out, _ = clinic.run("person", "sheet", "--on", "2026-02-04")

    assert (code, listed["data"]["bookings"][0]["person"]) == (0, "DEMO-000009")
    assert "Nobody to call" in out


def test_for_somebody_with_both_doses_the_desk_says_so_and_names_no_next(chair):
    for day in ("2025-12-22", "2026-01-22"):
        chair.run("dose", "told", ADA, day, *BY)

    _, out, _ = chair.run("person", "meet", ADA, "--name", "Ada Marlow", *BY)

    assert f"{ADA}: too-few, 75 years old today, both doses are on record" in out


SPELLED = ("--name", "Test-Wick, Bryony", "--born", "1951-01-20")


def test_a_name_spelled_otherwise_is_shown_beside_the_kept_one_and_nobody_is_met(clinic):
    clinic.run("person", "walk-up", *BRYONY, *BY)

    code, out, _ = clinic.run("person", "meet", *SPELLED, *BY)

    assert code == 1
    assert "name, nearly" in out
    assert out.endswith("Nothing is recorded.\n")


def test_met_by_their_code_both_spellings_stand_one_under_the_other(clinic):
    clinic.run("person", "walk-up", *BRYONY, *BY)

    code, out, talk = clinic.run("person", "meet", "P-000001", *SPELLED, *BY)

    assert code == 0
    assert "  said: Test-Wick, Bryony\n  kept: Bryony Testwick\n" in out
    assert "the same person?" in out + talk


def test_taken_in_by_their_code_both_spellings_are_in_the_answer(clinic):
    clinic.run("person", "walk-up", *BRYONY, *BY)
    clinic.clock("12:00", 5)

    _, taken = clinic.ask("person", "walk-up", "P-000001", *SPELLED, *BY)

    assert taken["data"]["spelled"] == {
        "said": "Test-Wick, Bryony",
        "kept": "Bryony Testwick",
    }
