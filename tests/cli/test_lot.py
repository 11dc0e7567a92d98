"""`thawline lot`: a recall reaches everything in one act, and names everybody who had it."""

import pytest
from tests.cast import BRYONY, HAZEL, PINS, ROWAN
from tests.cli.people import ADA, BEN, CHAIR, SCREENED, at_the_chair

BY = ("--by", ROWAN)
SECOND = ("--countersign", BRYONY, "--pin", PINS[BRYONY])
HOLD = ("lot", "hold", "ZZ-1041", "--why", "withdrawn", "--notice", "UV-2026-03")


@pytest.fixture
def chair(clinic, tmp_path):
    """Three people booked, three doses drawn at 07:10, the first two given."""
    place = at_the_chair(clinic, tmp_path)
    for person, syringe in zip((ADA, BEN), place.syringes, strict=False):
        words = ("dose", "give", "--person", person, "--syringe", syringe, *SCREENED)
        place.run(*words, "--at", "08:00", "--by", HAZEL)
    return place


def test_a_hold_names_the_syringes_that_are_out(chair):
    code, answer = chair.ask(*HOLD, "--at", "09:00", *BY)

    assert (code, [alert["code"] for alert in answer["alerts"]]) == (1, ["held"])
    assert answer["data"]["record"] == {
        "lot": "ZZ-1041",
        "why": "withdrawn",
        "notice": "UV-2026-03",
    }
    assert answer["data"]["syringes_out"] == [{"syringe": chair.syringes[2], "station": CHAIR}]


def test_a_hold_reaches_a_syringe_drawn_before_and_every_carton(chair):
    chair.run(*HOLD, "--at", "09:00", *BY)

    words = ("dose", "check", "--person", ADA, "--syringe", chair.syringes[2], *SCREENED)
    code, answer = chair.ask(*words, "--at", "09:01")
    out = ("vial", "to-fridge", "--lot", "ZZ-1041", "--count", "1", "--at", "09:01")

    assert (code, "lot-held" in [each["code"] for each in answer["alerts"]]) == (4, True)
    assert chair.ask(*out, *BY)[0] == 4


def test_people_read_what_to_do_with_the_lot(chair):
    _, out, _ = chair.run(*HOLD, "--at", "09:00", *BY)

    assert out.splitlines() == [
        "||| Stop: lot ZZ-1041 held, do not use, do not discard; keep cold and apart; call",
        "lot ZZ-1041 held; 1 syringe to stop",
        "syringe   last seen at",
        f"{chair.syringes[2]}  {CHAIR}",
    ]


def test_a_hold_needs_a_reason(chair):
    code, answer = chair.ask("lot", "hold", "ZZ-1041", *BY)

    assert (code, answer["error"]["says"]) == (2, "a hold needs a reason")


def test_a_lot_that_never_was_here_is_held_and_the_slip_is_named(chair):
    """A letter O for a zero would hold nothing, and nobody would know."""
    code, answer = chair.ask("lot", "hold", "ZZ-1O41", "--why", "withdrawn", *BY)

    assert (code, [alert["code"] for alert in answer["alerts"]]) == (
        1,
        ["held", "lot-not-here"],
    )
    assert "was ZZ-1041 meant?" in answer["alerts"][1]["says"]


@pytest.mark.parametrize(
    "words", [(), SECOND[:2], (*SECOND[:3], "111111")], ids=["alone", "only named", "wrong PIN"]
)
def test_a_lot_is_not_released_by_one_person(chair, words):
    chair.run(*HOLD, "--at", "09:00", *BY)

    code, answer = chair.ask("lot", "release", "ZZ-1041", "--why", "lifted", *BY, *words)

    assert (code, answer["error"]["code"]) == (7, "second-person")


def test_two_people_release_a_lot_with_a_reason(chair):
    release = ("lot", "release", "ZZ-1041", *BY, *SECOND)
    never, _ = chair.ask(*release, "--why", "lifted")
    chair.run(*HOLD, *BY)

    assert never == 3
    assert chair.ask(*release)[0] == 2
    assert chair.ask(*release, "--why", "lifted")[0] == 0
    assert chair.ask(*release, "--why", "lifted")[0] == 3


def test_everybody_who_had_a_lot_is_listed_with_phone_and_language(chair):
    code, answer = chair.ask("lot", "people", "ZZ-1041")

    assert code == 0
    assert answer["data"]["people"][1] == {
        "site": "harrowmint",
        "person": BEN,
        "name": "Ben Marlow",
        "phone": "5550102",
        "language": "es",
        "given_at": "2026-02-03T08:00:00-06:00",
        "dose_number": 1,
        "vial": chair.vial,
    }
    assert [each["person"] for each in answer["data"]["people"]] == [ADA, BEN]


def test_the_list_is_a_table_for_people_and_rows_for_spreadsheets(chair):
    shown = chair.run("lot", "people", "ZZ-1041")[1].splitlines()
    rows = chair.run("lot", "people", "ZZ-1041", "--csv")[1].splitlines()

    assert shown[0].split() == ["person", "name", "phone", "language", "given"]
    assert shown[-1] == "2 people had lot ZZ-1041 at harrowmint"
    assert rows[0] == "site,person,name,phone,language,given_at,dose_number,vial"
    assert rows[2].startswith(f"harrowmint,{BEN},Ben Marlow,5550102,es,2026-02-03T08:00:00")


def test_a_lot_nobody_had_lists_nobody_and_one_that_never_was_here_is_not_found(chair):
    chair.run("vial", "receive", "ZZ-1107", "2026-08", "2", "--listed", "2", *BY)

    assert chair.run("lot", "people", "ZZ-1107")[1].endswith(
        "0 people had lot ZZ-1107 at harrowmint\n"
    )
    code, answer = chair.ask("lot", "people", "ZZ-9999")
    assert (code, answer["error"]["try"]) == (5, "enter the lot as printed")
