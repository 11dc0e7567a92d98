"""`thawline vial`: what a person or a program reads, and the exit code."""

import io
import json

import pytest
from tests.cast import BRYONY, HAZEL, PINS, ROWAN

from thawline.cli import main

BY = ("--by", HAZEL)
SECOND = ("--countersign", BRYONY, "--pin", PINS[BRYONY])
STORY = {
    "lot": "ZZ-1041",
    "expiry": "2026-08",
    "zone": "America/Chicago",
    "events": [
        {"at": "2026-02-03T04:00:00-06:00", "what": "to-fridge"},
        {"at": "2026-02-03T06:35:00-06:00", "what": "to-table"},
        {"at": "2026-02-03T07:02:00-06:00", "what": "open"},
    ],
}
ENVELOPE = ["ok", "data", "alerts", "not_known", "protocol"]


def reckoned(capsys, story, at="2026-02-03T12:00:00-06:00"):
    code = main(
        ["vial", "reckon", str(story), "--at", at, "--protocol", "example-10-v2", "--json"]
    )
    return code, json.loads(capsys.readouterr().out)


@pytest.fixture
def story(tmp_path):
    path = tmp_path / "story.json"
    path.write_text(json.dumps(STORY))
    return path


# --- calculators --------------------------------------------------------------------------


def test_reckon_answers_with_the_keys_of_the_contract(capsys, story):
    code, answer = reckoned(capsys, story)

    assert (code, list(answer)) == (0, ENVELOPE)
    assert list(answer["data"]) == [
        *("state", "usable", "ready_at", "use_by", "set_by", "clocks"),
    ]
    assert answer["data"]["clocks"][1] == {
        "clock": "chilled",
        "item": "C1",
        "started": "2026-02-03T04:00:00-06:00",
        "ends": "2026-03-05T04:00:00-06:00",
        "used_min": 480,
        "left_min": 42720,
    }


def test_reckon_gives_the_worked_example_of_the_page(capsys, story):
    _, answer = reckoned(capsys, story)

    assert answer["data"]["use_by"] == "2026-02-03T13:02:00-06:00"
    assert answer["data"]["ready_at"] == "2026-02-03T06:50:00-06:00"
    assert (answer["data"]["set_by"], answer["data"]["state"]) == ("open", "open")
    assert answer["protocol"]["id"] == "example-10"


def test_at_the_limit_the_answer_is_a_finding_and_data_is_there(capsys, story):
    code, answer = reckoned(capsys, story, "2026-02-03T13:02:00-06:00")

    assert (code, answer["ok"], answer["data"]["usable"]) == (1, False, False)
    assert answer["alerts"] == [
        {
            "level": "stop",
            "item": "C4",
            "code": "past-use-by",
            "says": "past its use-by time: open ended 2026-02-03T13:02:00-06:00",
        }
    ]
    assert answer["error"]["code"] == "findings"


def test_minutes_used_are_rounded_up_and_minutes_left_down(capsys, story):
    _, answer = reckoned(capsys, story, "2026-02-03T12:00:30-06:00")

    opened = [each for each in answer["data"]["clocks"] if each["clock"] == "open"]
    assert (opened[0]["used_min"], opened[0]["left_min"]) == (299, 61)


def test_what_is_not_known_is_null_and_listed(capsys, tmp_path):
    arrival = {"at": "2026-02-03T04:00:00-06:00", "what": "arrive", "as": "chilled"}
    path = tmp_path / "gap.json"
    path.write_text(json.dumps({**STORY, "events": [arrival]}))

    code, answer = reckoned(capsys, path)

    assert (code, answer["data"]["use_by"]) == (1, None)
    assert answer["not_known"] == [
        *("thawed_at", "room_used_min", "transport_used_min", "trips_used"),
    ]


def test_reckon_in_words_says_state_limit_and_clocks(capsys, story):
    main(["vial", "reckon", str(story), "--at", "2026-02-03T12:00:00-06:00"])

    lines = capsys.readouterr().out.splitlines()
    assert lines[0].startswith("open, use by 19:02 (set by open, item C4)")  # published, 12 h
    assert lines[1].split() == ["clock", "item", "started", "ends", "left"]


def test_a_story_may_come_from_standard_input(capsys, monkeypatch):
    class Piped(io.StringIO):
        buffer = io.BytesIO(json.dumps(STORY).encode())

    monkeypatch.setattr("sys.stdin", Piped())

    code, answer = reckoned(capsys, "-")

    assert (code, answer["data"]["state"]) == (0, "open")


@pytest.mark.parametrize(
    ("words", "data"),
    [
        (("--fill-ul", "5500", "--dead-space-ul", "35"), {"doses": 10, "left_ul": 150}),
        (("--fill-ul", "5500", "--most", "9"), {"doses": 9, "left_ul": 1000}),
        (("--fill-ul", "499"), {"doses": 0, "left_ul": 499}),
    ],
)
def test_yield_counts_whole_doses_by_volume(capsys, words, data):
    code = main(["vial", "yield", "--dose-ul", "500", *words, "--json"])

    assert (code, json.loads(capsys.readouterr().out)["data"]) == (0, data)


# --- a vial's way -------------------------------------------------------------------------


def test_a_receipt_says_what_was_recorded_and_under_which_number(clinic):
    words = ("vial", "receive", "ZZ-1107", "2026-08", "12", "--listed", "12", "--temp-c", "-20")

    code, answer = clinic.ask(*words, "--at", "01:10", "--by", ROWAN)

    data = answer["data"]
    assert (code, data["recorded"], data["event"]) == (0, True, "ShipmentArrived")
    assert data["seq"] >= 2
    assert (len(data["hash"]), data["again"], data["site"]) == (64, False, "harrowmint")
    assert answer["protocol"]["version"] == 2


def test_vials_get_their_codes_and_flags_on_leaving_the_freezer(clinic):
    words = ("vial", "to-fridge", "--lot", "ZZ-1041", "--count", "2", "--at", "04:00")

    code, out, _ = clinic.run(*words, "--by", ROWAN)

    lines = out.splitlines()
    assert (code, lines[0]) == (0, "2 vials to the fridge")
    assert lines[1].split() == ["vial", "lot", "use", "by", "set", "by", "ready"]
    assert lines[2].split()[1:] == ["ZZ-1041", "Thu", "5", "Mar", "04:00", "chilled", "06:45"]


def test_a_vial_is_opened_drawn_from_and_shown(clinic):
    vial = clinic.opened()

    code, answer = clinic.ask("vial", "draw", vial, "3", "--at", "07:10", *BY)
    shown = clinic.ask("vial", "show", vial.lower(), "--at", "07:30")[1]["data"]

    assert (code, answer["data"]["syringes"]) == (0, [f"{vial}-0{n}" for n in (1, 2, 3)])
    assert (shown["doses_left"], shown["doses_drawn"], shown["state"]) == (7, 3, "open")
    assert shown["use_by"] == "2026-02-03T13:00:00-06:00"


def test_a_refusal_is_one_stop_with_item_and_time_and_exit_4(clinic):
    (vial,) = clinic.vials()

    code, out, err = clinic.run("vial", "open", vial, "--at", "05:00", *BY)

    assert (code, err) == (4, "")
    assert out.startswith(f"||| Stop: {vial} is thawing; not before 2026-02-03T06:45:00-06:00")
    assert "(item T1)" in out


def test_the_same_refusal_for_a_program(clinic):
    (vial,) = clinic.vials()

    code, answer = clinic.ask("vial", "open", vial, "--at", "05:00", *BY)

    assert (code, answer["ok"], answer["data"]) == (4, False, None)
    assert [alert["code"] for alert in answer["alerts"]] == ["not-ready"]
    assert (answer["error"]["code"], list(answer["error"])) == (
        "refused",
        ["code", "says", "try"],
    )


def test_a_vial_is_not_opened_twice(clinic):
    vial = clinic.opened()

    assert clinic.run("vial", "open", vial, "--at", "07:05", *BY)[0] == 4
    assert clinic.run("vial", "open", vial, "--at", "06:55", *BY)[0] == 4


def test_what_happened_all_the_same_is_recorded_with_findings_and_exit_1(clinic):
    (vial,) = clinic.vials()

    code, answer = clinic.ask("vial", "open", vial, "--at", "05:00", "--happened", *BY)

    assert (code, answer["data"]["recorded"]) == (1, True)
    assert [alert["code"] for alert in answer["alerts"]] == ["not-ready"]


def test_a_thawed_vial_does_not_go_back_into_the_freezer(clinic):
    (vial,) = clinic.vials()

    assert clinic.run("vial", "to-freezer", vial, "--at", "05:00", *BY)[0] == 4
    assert clinic.run("vial", "to-freezer", vial, "--at", "05:01", "--happened", *BY)[0] == 1
    assert clinic.ask("vial", "show", vial)[1]["data"]["state"] == "held"


def test_wasting_and_discarding_say_how_many_doses_went(clinic):
    vial = clinic.opened()

    wasted = clinic.run("vial", "waste", vial, "2", "--cause", "spilled", "--at", "07:20", *BY)
    ended = clinic.ask("vial", "discard", vial, "--cause", "leftover", "--at", "07:30", *BY)

    assert wasted[:2] == (0, f"2 doses of {vial} wasted: spilled\n")
    assert (ended[0], ended[1]["data"]["doses_wasted"]) == (0, 8)


def test_a_new_flag_is_recorded_for_every_vial_scanned(clinic):
    first, second = clinic.ready(2)

    code, answer = clinic.ask("vial", "flag", first, second, "--at", "07:00", *BY)

    assert (code, [each["vial"] for each in answer["data"]["vials"]]) == (0, [first, second])


# --- lists --------------------------------------------------------------------------------


def test_the_list_has_the_vial_to_use_first_at_the_top(clinic):
    vial = clinic.opened()
    chilled = clinic.vials(2, "05:00")

    code, answer = clinic.ask("vial", "list", "--at", "08:00")

    assert (code, answer["data"]["use_first"][0]) == (0, vial)
    assert set(answer["data"]["use_first"]) == {vial, *chilled}
    assert answer["data"]["vials"][0]["vial"] == vial


def test_the_list_can_be_of_open_vials_or_of_one_lot(clinic):
    vial = clinic.opened()
    clinic.vials(2, "05:00")

    only_open = clinic.ask("vial", "list", "--open", "--at", "08:00")[1]["data"]["vials"]
    other_lot = clinic.ask("vial", "list", "--lot", "ZZ-1107", "--at", "08:00")[1]["data"]

    assert [each["vial"] for each in only_open] == [vial]
    assert other_lot["vials"] == []


def test_discarded_vials_are_listed_only_with_everything(clinic):
    vial = clinic.opened()
    clinic.run("vial", "discard", vial, "--cause", "leftover", "--at", "07:30", *BY)

    usual = clinic.ask("vial", "list")[1]["data"]["vials"]
    everything = clinic.ask("vial", "list", "--everything")[1]["data"]["vials"]

    assert (usual, [each["state"] for each in everything]) == ([], ["discarded"])


def test_the_list_in_words_sums_up_what_may_be_used(clinic):
    vial = clinic.opened()
    clinic.run("vial", "hold", vial, "--why", "shaken", "--at", "07:31", *BY)
    clinic.vials(1, "05:00")

    _, out, _ = clinic.run("vial", "list", "--at", "08:00")

    lines = out.splitlines()
    assert lines[0].split("  ")[0] == "vial"
    assert lines[2].endswith("HELD – DO NOT USE")  # noqa: RUF001
    assert lines[-1] == "2 vials; 10 doses in 1 vial that may be used"


def test_an_empty_vial_and_one_that_left_are_not_the_next_to_use(clinic):
    vial = clinic.opened()
    clinic.run("vial", "draw", vial, "10", "--at", "07:10", *BY)
    (gone,) = clinic.vials(1, "04:30")
    clinic.run("vial", "send", "quillbeck", gone, "--mode", "cart", "--at", "08:00", *BY)

    code, answer = clinic.ask("vial", "list", "--at", "08:10")

    assert (code, answer["data"]["use_first"]) == (0, [])
    assert len(answer["data"]["vials"]) == 2


def test_the_list_is_also_a_table_for_a_spreadsheet(clinic):
    vial = clinic.opened()

    _, out, _ = clinic.run("vial", "list", "--at", "08:00", "--csv")

    assert out.splitlines() == [
        "vial,lot,doses_left,state,usable,use_by,set_by",
        f"{vial},ZZ-1041,10,open,True,2026-02-03T13:00:00-06:00,open",
    ]


# --- holds --------------------------------------------------------------------------------


def test_a_hold_prints_where_the_syringes_are(clinic):
    vial = clinic.opened()
    clinic.run("vial", "draw", vial, "2", "--at", "07:10", "--station", "chair 2", *BY)

    code, out, _ = clinic.run("vial", "hold", vial, "--why", "shaken", "--at", "07:31", *BY)

    assert code == 1
    assert f"{vial}-01  chair 2" in out
    assert f"{vial} held; 2 syringes to stop" in out


def test_a_hold_with_no_syringe_out_says_so(clinic):
    (vial,) = clinic.vials()

    code, answer = clinic.ask("vial", "hold", vial, "--why", "shaken", "--at", "07:31", *BY)

    assert (code, answer["data"]["syringes_out"]) == (1, [])


@pytest.mark.parametrize(
    ("second", "code"),
    [
        ((), 7),
        (("--countersign", BRYONY), 7),
        (("--countersign", BRYONY, "--pin", "111112"), 7),
        (("--countersign", ROWAN, "--pin", PINS[ROWAN]), 7),
        (SECOND, 0),
    ],
    ids=["nobody", "only named", "wrong PIN", "the same person", "two people"],
)
def test_a_release_needs_a_second_persons_own_pin(clinic, second, code):
    (vial,) = clinic.vials()
    clinic.run("vial", "hold", vial, "--why", "shaken", "--at", "07:31", *BY)
    why = ("--why", "health unit: use", "--called", "Health Unit", "--case", "UV-17")

    released = clinic.run(
        "vial", "release", vial, *why, "--at", "08:00", "--by", ROWAN, *second
    )

    assert released[0] == code
    state = clinic.ask("vial", "show", vial, "--at", "08:01")[1]["data"]["state"]
    assert state == ("chilled" if code == 0 else "held")
