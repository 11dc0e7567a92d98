"""`thawline stock`: the book, physical counts and doses that are not found."""

import pytest
from tests.cast import BRYONY, PINS, ROWAN
from tests.cli.people import at_the_chair

BY = ("--by", ROWAN)
LOT = ("--lot", "ZZ-1041")
SECOND = ("--countersign", BRYONY, "--pin", PINS[BRYONY])
SHEET = ["opening", "received", "extra", "given", "wasted", "missing", "sent", "left"]


@pytest.fixture
def chair(clinic, tmp_path):
    """40 vials came, 2 thawed, 1 open with 3 of its 10 doses drawn."""
    return at_the_chair(clinic, tmp_path)


def test_the_book_says_how_many_doses_are_where(chair):
    code, answer = chair.ask("stock", "show")

    held = {each["place"]: each["doses"] for each in answer["data"]["places"]}
    assert (code, answer["data"]["balances"], list(answer["data"]["sheet"])) == (0, True, SHEET)
    assert held == {
        "outside": -400,
        "stock:freezer-1": 380,
        **{f"syringe:{syringe}": 1 for syringe in chair.syringes},
        f"vial:{chair.vial}": 7,
        f"vial:{chair.closed}": 10,
    }


def test_the_book_is_a_table_for_people_and_rows_for_spreadsheets(chair):
    shown = chair.run("stock", "show")[1].splitlines()
    rows = chair.run("stock", "show", "--csv")[1].splitlines()

    assert shown[0].split() == rows[0].split(",") == ["place", "lot", "doses"]
    assert shown[-1] == "400 doses left by the book"
    assert "stock:freezer-1,ZZ-1041,380" in rows


def test_another_lot_has_nothing(chair):
    _, answer = chair.ask("stock", "show", "--lot", "ZZ-1107")

    assert (answer["data"]["places"], answer["data"]["sheet"]["left"]) == ([], 0)


def test_a_count_that_agrees_is_recorded(chair):
    code, answer = chair.ask("stock", "count", "stock:freezer-1", "380", *LOT, *BY)

    assert (code, answer["alerts"]) == (0, [])
    assert answer["data"]["record"] == {
        "place": "stock:freezer-1",
        "lot": "ZZ-1041",
        "doses": 380,
        "book": 380,
    }


def test_a_count_that_differs_is_recorded_and_said(chair):
    assert chair.run("stock", "count", f"vial:{chair.vial.lower()}", "6", *LOT, *BY)[:2] == (
        1,
        f"|| Act: vial:{chair.vial}, lot ZZ-1041: counted 6, 1 fewer than the book\n"
        f"6 doses of lot ZZ-1041 counted in vial:{chair.vial}\n",
    )


@pytest.mark.parametrize(
    ("place", "doses", "code", "says"),
    [
        ("stock:freezer-1", "-1", 3, "doses cannot be below zero: -1"),
        ("stock:freezer-1", "many", 2, "many"),
        ("stock:freezer-2", "10", 5, "no account stock:freezer-2 with lot ZZ-1041 here"),
        ("given", "1", 3, "no doses lie in 'given'"),
    ],
)
def test_a_count_that_cannot_be_is_refused_by_its_value(chair, place, doses, code, says):
    answered, answer = chair.ask("stock", "count", place, doses, *LOT, *BY)

    assert (answered, says in answer["error"]["says"]) == (code, True)


def test_a_dose_two_people_looked_for_is_recorded_as_missing(chair):
    words = ("stock", "missing", f"syringe:{chair.syringes[0]}", "1", *LOT, "--why", "looked")

    alone, _ = chair.ask(*words, *BY)
    code, answer = chair.ask(*words, *BY, *SECOND)

    assert (alone, code) == (7, 0)
    assert answer["data"]["record"]["second"] == BRYONY
    assert chair.ask("stock", "show")[1]["data"]["sheet"]["missing"] == 1


@pytest.mark.parametrize(
    ("place", "doses", "why", "says"),
    [
        ("stock:freezer-1", "381", "gone", "holds 380 doses by the book, not 381"),
        ("stock:freezer-1", "0", "gone", "holds 380 doses by the book, not 0"),
        ("wasted:leftover", "1", "gone", "no doses lie in 'wasted:leftover'"),
    ],
)
def test_no_dose_is_missing_that_was_not_there(chair, place, doses, why, says):
    words = ("stock", "missing", place, doses, *LOT, "--why", why)

    code, answer = chair.ask(*words, *BY, *SECOND)

    assert (code, says in answer["error"]["says"]) == (3, True)
