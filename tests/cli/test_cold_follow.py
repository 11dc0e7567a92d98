"""A freezer's night, by command: 02:08 it leaves its band, 02:14 somebody is to be called."""

import shlex
from functools import partial

import pytest
from tests.cast import ROWAN, SORREL, at

from thawline.adapters.wiring import open_site
from thawline.cli import asking, cold_follow

CHAIN = [
    "Sorrel Kettlewick, vaccine coordinator, 555-0101",
    "Rowan Thistle, site lead, 555-0102",
]
FOLLOW = ["--unit", "freezer-1", "--by", ROWAN]


@pytest.fixture
def cold(clinic, tmp_path):
    """Harrowmint at 02:14 with a watched freezer and the folder of its logger."""
    clinic.clock("02:14", day=4)
    clinic.folder = tmp_path / "logger"
    clinic.folder.mkdir()
    clinic.run("site", "unit", "freezer-1", "--band", "frozen", "--followed", "live")
    clinic.run("site", "chain", *CHAIN)
    clinic.run("site", "night", "18:00", "06:00")
    return clinic


class MovedClock:
    """The machine's clock, moved while a command runs."""

    def __init__(self, monkeypatch):
        self.now = at("02:14", day=4)
        opened = partial(open_site, now=lambda: self.now)
        monkeypatch.setattr(asking, "open_site", opened)


def write(cold, *rows, name="log.csv", end="\n"):
    lines = [
        "Date,Time,Temperature (°C)",
        *(f"2026-02-04,{clock},{temp}" for clock, temp in rows),
    ]
    (cold.folder / name).write_text("\n".join(lines) + end)


WARM = [("02:00", -20.0), ("02:04", -20.1), ("02:08", -14.2), ("02:14", -12.0)]


def once(cold):
    return cold.run("cold", "follow", str(cold.folder), *FOLLOW, "--once")


def once_holding(cold):
    return cold.run("cold", "follow", str(cold.folder), *FOLLOW, "--once", "--hold")


def test_a_warm_freezer_is_said_with_whom_to_call(cold):
    write(cold, *WARM)

    code, out, _ = once(cold)

    assert code == 1
    assert "02:14 || Act: freezer-1 is minus 12.0 °C, limit minus 15 °C." in out
    assert "    You call Sorrel K., vaccine coordinator, 555-0101\n" in out
    assert "    Not answered by 02:24: you call Rowan T., site lead, 555-0102\n" in out
    assert out.endswith("freezer-1: 4 new readings, 4 in all\n")


def test_what_was_inside_is_held_from_the_first_reading_out_where_it_was_asked_for(cold):
    write(cold, ("02:00", -20.0), ("02:08", -14.2))

    code, out, _ = once_holding(cold)
    again = once_holding(cold)[1]

    assert code == 1
    assert "sealed in 1 lots and 0 syringes of freezer-1 held, do not use" in " ".join(
        out.split()
    )
    assert "held, do not use" not in again


def test_the_command_that_is_said_for_a_hold_records_it(cold):
    write(cold, ("02:00", -20.0), ("02:08", -14.2))
    said = once(cold)[1]
    (command,) = [line for line in said.splitlines() if "cold exposure freezer-1" in line]

    code, _, _ = cold.run(*shlex.split(command)[1:])

    assert code == 1
    assert "not held" not in once(cold)[1]


def test_a_second_look_doubles_nothing_and_says_what_stands(cold):
    write(cold, *WARM)
    once(cold)

    code, answer = cold.ask("cold", "follow", str(cold.folder), *FOLLOW, "--once")

    data = answer["data"]
    assert (code, data["new_readings"], data["readings"]) == (1, 0, 4)
    assert data["alerts_standing"] == ["above"]


def test_half_a_last_line_waits_for_the_rest(cold):
    write(cold, ("02:00", -20.0), ("02:10", "-1"), end="")
    _, out, _ = once(cold)
    write(cold, ("02:00", -20.0), ("02:10", "-19.5"))
    code, answer = cold.ask("cold", "follow", str(cold.folder), *FOLLOW, "--once")

    assert "the last line of log.csv has no end yet" in out
    assert (code, answer["data"]["readings"]) == (0, 2)


def test_readings_stamped_after_now_wait(cold):
    write(cold, ("02:10", -20.0), ("02:20", -20.0))

    code, out, _ = once(cold)

    assert "log.csv has readings stamped after now" in out
    assert (code, out.splitlines()[-1]) == (1, "freezer-1: 1 new reading, 1 in all")


def test_following_prints_a_change_a_line_until_it_is_stopped(cold, monkeypatch):
    clock = MovedClock(monkeypatch)

    def stream(folder, _known, *, poll):
        assert poll is True
        write(cold, *WARM)
        yield {folder / "log.csv"}
        clock.now = at("02:24", day=4)
        yield set()
        raise KeyboardInterrupt

    monkeypatch.setattr(cold_follow, "changes", stream)

    code, out, err = cold.run("cold", "follow", str(cold.folder), *FOLLOW, "--poll")

    assert code == 130
    assert "02:24 freezer-1: Not answered by 02:24: you call Rowan T." in out
    assert out.index("4 new readings") < out.index("|| Act") < out.index("02:24 freezer-1")
    assert "Stopped" in err


def test_a_file_that_cannot_be_read_is_left_alone(cold):
    (cold.folder / "notes.txt").write_text("hello\n")

    code, out, _ = once(cold)

    assert code == 0
    assert "notes.txt cannot be read and is left alone" in out


@pytest.mark.parametrize("name", [".log.csv", "log.csv.part", "~log.xlsx"])
def test_a_file_that_another_program_works_on_is_not_looked_at(cold, name):
    write(cold, *WARM, name=name)

    code, answer = cold.ask("cold", "follow", str(cold.folder), *FOLLOW, "--once")

    assert (code, answer["data"]["readings"]) == (0, 0)


@pytest.mark.parametrize(
    ("words", "code", "said"),
    [
        (["nowhere", *FOLLOW, "--once"], 5, "No folder 'nowhere'"),
        ([".", "--unit", "freezer-9", "--by", ROWAN, "--once"], 5, "freezer-9"),
        ([".", "--unit", "freezer-1", "--once"], 2, "Nobody is named"),
    ],
    ids=["no folder", "no unit", "nobody"],
)
def test_what_cannot_be_followed_is_said(cold, words, code, said):
    exit_code, _, err = cold.run("cold", "follow", *words)

    assert exit_code == code
    assert said in err


# --- answers and nights -------------------------------------------------------------------


def test_an_answer_takes_the_alert_on(cold):
    write(cold, *WARM)
    once(cold)

    code, event = cold.ask(
        "cold", "answer", "freezer-1", "--by", SORREL, "--why", "on my way", "--at", "02:14"
    )
    _, units = cold.ask("cold", "units")

    assert (code, event["data"]["event"]) == (0, "AlertAnswered")
    assert units["data"]["units"][0]["alerts"][0]["taken_on"] is True


def test_who_cannot_go_leaves_the_next_to_be_called(cold):
    write(cold, *WARM)
    once(cold)
    words = ["--by", SORREL, "--why", "no car", "--cannot-go"]

    _, out, _ = cold.run("cold", "answer", "freezer-1", *words)

    assert "call the next of the chain now" in out
    assert "Not answered by 02:14: you call Rowan T." in cold.run("cold", "units")[1]


def test_a_night_is_not_covered_before_a_test_call_was_answered(cold):
    cold.clock("17:40", day=4)
    before = cold.ask("cold", "units")[1]
    words = ["--answered-by", ROWAN, "--there-until", "06:00", "--by", SORREL]
    code, event = cold.ask("cold", "night", *words)
    after = cold.ask("cold", "units")[1]

    assert before["data"]["covered"] is False
    assert "night-not-covered" in [alert["code"] for alert in before["alerts"]]
    assert (code, event["data"]["event"]) == (0, "TestCallAnswered")
    assert (after["data"]["covered"], after["data"]["covered_by"]) == (True, ROWAN)
    assert after["data"]["night_to"] == "2026-02-05T06:00:00-06:00"


def test_units_are_listed_with_how_they_are_known(cold):
    cold.run("site", "unit", "fridge-1", "--band", "refrigerator", "--followed", "by-hand")

    code, out, _ = cold.run("cold", "units")

    assert code == 1
    assert "freezer-1  followed live  ?" in out
    assert "fridge-1   read by hand   ?" in out
    assert "NOT COVERED" in out


def test_a_unit_that_holds_doses_and_is_not_named_is_pointed_out(clinic):
    _, answer = clinic.ask("cold", "units")

    codes = [alert["code"] for alert in answer["alerts"]]
    assert "unit-not-named" in codes
    assert answer["not_known"] == ["night"]


# --- the site's settings ------------------------------------------------------------------


def test_the_chain_and_the_night_are_kept_beside_the_units(cold):
    _, chain = cold.ask("site", "chain")
    _, night = cold.ask("site", "night")
    _, units = cold.ask("site", "show", "--site", "harrowmint")

    assert [call["number"] for call in chain["data"]["calls"]] == ["555-0101", "555-0102"]
    assert (night["data"]["starts"], night["data"]["ends"]) == ("18:00", "06:00")
    assert units["data"]["sites"][0]["units"][0]["unit"] == "freezer-1"


def test_a_site_without_chain_or_night_says_so(clinic):
    assert clinic.ask("site", "chain")[1]["alerts"][0]["code"] == "no-call-chain"
    assert clinic.ask("site", "night")[1]["not_known"] == ["starts", "ends"]


@pytest.mark.parametrize(
    "words",
    [
        ["chain", "Rowan Thistle, site lead"],
        ["chain", "Rowan Thistle, janitor, 555-0102"],
        ["chain", "Rowan Thistle, site lead, call me"],
        ["chain", ", site lead, 555-0102"],
        ["night", "18:00"],
        ["night", "18:00", "18:00"],
        ["night", "6 pm", "06:00"],
    ],
)
def test_what_is_no_chain_and_no_night_is_refused_and_changes_nothing(cold, words):
    code, _, _ = cold.run("site", *words)

    assert code == 3
    assert len(cold.ask("site", "chain")[1]["data"]["calls"]) == 2
