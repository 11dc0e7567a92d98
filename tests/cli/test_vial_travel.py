"""`thawline vial send | arrive | syringes`: what goes with a vial and what comes in."""

import json
from pathlib import Path

import pytest
from tests.cast import BRYONY, HAZEL, PINS, ROWAN, SORREL

BY = ("--by", HAZEL)


@pytest.fixture
def two_sites(clinic):
    """Harrowmint with one thawed vial, and Quillbeck with none."""
    clinic.vials()
    clinic.run("site", "new", "quillbeck", "--zone", "America/Chicago")
    clinic.run("site", "pin", BRYONY, PINS[BRYONY], "--site", "quillbeck")
    second = ("--countersign", BRYONY, "--pin", PINS[BRYONY], "--site", "quillbeck")
    clinic.run("protocol", "adopt", "example-10-v2", "--by", ROWAN, *second)
    return clinic


def sent(clinic, note):
    here = ("--site", "harrowmint", "--at", "08:00")
    (vial,) = clinic.ask("vial", "list", *here)[1]["data"]["use_first"]
    words = ("vial", "send", "quillbeck", vial, "--mode", "vehicle", "--note", str(note))
    return vial, clinic.run(*words, *here, "--by", ROWAN)


def arrived(clinic, note, at="08:45"):
    words = ("vial", "arrive", str(note), "--site", "quillbeck", "--at", at, "--by", SORREL)
    return clinic.ask(*words)


def test_a_vial_goes_with_its_note_and_arrives_with_its_history(two_sites, tmp_path):
    note = tmp_path / "note.json"

    vial, (code, out, _) = sent(two_sites, note)
    came, answer = arrived(two_sites, note)

    assert (code, out) == (0, "1 vial sent to quillbeck by vehicle\n")
    assert (came, answer["data"]["event"]) == (0, "VialsArrived")
    there = ("--site", "quillbeck", "--at", "09:00")
    shown = two_sites.ask("vial", "show", vial, *there)[1]["data"]
    assert (shown["state"], shown["use_by"]) == ("chilled", "2026-03-05T04:00:00-06:00")


@pytest.fixture
def note(two_sites, tmp_path):
    """The note of a vial that is on its way to Quillbeck."""
    path = tmp_path / "note.json"
    sent(two_sites, path)
    return path


def at_harrowmint(clinic, vial, at="20:30"):
    return clinic.ask("vial", "show", vial, "--site", "harrowmint", "--at", at)[1]["data"]


def test_the_sender_s_trip_is_over_when_the_vial_arrives_in_the_same_home(two_sites, tmp_path):
    path = tmp_path / "note.json"
    vial, _ = sent(two_sites, path)
    before = {clock["clock"] for clock in at_harrowmint(two_sites, vial)["clocks"]}
    code, answer = arrived(two_sites, path)
    after = {clock["clock"] for clock in at_harrowmint(two_sites, vial)["clocks"]}

    assert (code, answer["alerts"]) == (0, [])
    assert before - after == {"transport"}


def test_where_the_sender_is_elsewhere_it_is_said_how_the_trip_ends_there(two_sites, note):
    sites = Path(two_sites.home) / "sites"
    (sites / "harrowmint").rename(sites.parent / "elsewhere")
    code, answer = arrived(two_sites, note)

    (alert,) = answer["alerts"]
    assert (code, alert["code"], alert["level"]) == (0, "trip-not-ended", "check")
    assert "thawline vial reached quillbeck" in alert["says"]
    assert "--site harrowmint" in alert["says"]


def test_a_trip_that_was_ended_by_hand_is_left_alone(two_sites, tmp_path):
    path = tmp_path / "note.json"
    vial, _ = sent(two_sites, path)
    words = ("--site", "harrowmint", "--at", "08:40", "--by", ROWAN)
    two_sites.run("vial", "reached", "quillbeck", vial, *words)

    assert arrived(two_sites, path)[1]["alerts"] == []


def test_the_end_of_a_trip_is_recorded_by_hand_once(two_sites, tmp_path):
    vial, _ = sent(two_sites, tmp_path / "note.json")
    words = ("--site", "harrowmint", "--at", "08:45", "--by", ROWAN)

    first = two_sites.ask("vial", "reached", "quillbeck", vial, *words)
    again = two_sites.ask("vial", "reached", "quillbeck", vial, *words)
    other = two_sites.ask("vial", "reached", "oddmoor", vial, *words)

    assert (first[0], first[1]["data"]["event"]) == (0, "TripEnded")
    assert (again[0], other[0]) == (3, 3)
    assert "sent to quillbeck, and reached it" in again[1]["error"]["says"]


def changed(note, **figures):
    told = json.loads(note.read_text())
    of_vials = {key: value for key, value in figures.items() if key not in told}
    vials = [{**each, **of_vials} for each in told["vials"]]
    of_note = {key: value for key, value in figures.items() if key in told}
    note.write_text(json.dumps({**told, "vials": vials, **of_note}))
    return note


@pytest.mark.parametrize(
    "gap", ["thawed_at", "room_used_min", "transport_used_min", "trips_used"]
)
def test_a_gap_in_a_note_holds_what_arrives(clinic, note, gap):
    code, answer = arrived(clinic, changed(note, **{gap: None}))

    assert (code, [alert["code"] for alert in answer["alerts"]]) == (
        1,
        ["arrived-without-history"],
    )


def test_what_the_sender_held_is_held_and_too_long_a_way_as_well(clinic, note):
    code, answer = arrived(clinic, changed(note, held="shaken", mode="cart"), "09:01")

    codes = [alert["code"] for alert in answer["alerts"]]
    assert (code, codes) == (1, ["carried-too-long", "held"])


@pytest.mark.parametrize(
    ("figures", "says"),
    [
        ({"room_used_min": "20"}, "room_used_min is not a whole number: '20'"),
        ({"trips_used": True}, "trips_used is not a whole number: True"),
        ({"doses": -1}, "below zero"),
        ({"thawed_at": 5}, "thawed_at is not text: 5"),
        ({"thawed_at": "2026-02-03T09:00:00-06:00"}, "after they arrived"),
        ({"sent_at": "2026-02-03T09:00:00-06:00"}, "after it arrived"),
        ({"sent_at": "08:00"}, "not a time"),
        ({"from_site": None}, "from_site is not text"),
        ({"vials": []}, "no vials in it"),
        ({"vial": "HK47M"}, "does not check at harrowmint"),
        ({"expiry": "soon"}, "not an expiry"),
    ],
)
def test_a_note_that_cannot_be_right_is_refused(clinic, note, figures, says):
    code, answer = arrived(clinic, changed(note, **figures))

    assert (code, answer["ok"]) == (3, False)
    assert says in answer["error"]["says"]


def test_vials_of_differing_history_come_on_notes_of_their_own(clinic, note):
    told = json.loads(note.read_text())
    told["vials"].append({**told["vials"][0], "room_used_min": 99})
    note.write_text(json.dumps(told))

    code, answer = arrived(clinic, note)

    assert (code, "differ in room_used_min" in answer["error"]["says"]) == (3, True)


def test_nothing_is_sent_when_its_note_cannot_be_written(two_sites, tmp_path):
    taken = tmp_path / "taken.json"
    taken.write_text("{}")

    vial, (code, _, err) = sent(two_sites, taken)
    no_folder = sent(two_sites, tmp_path / "nowhere" / "note.json")[1]

    assert (code, no_folder[0]) == (3, 3)
    assert "nothing was recorded" in err
    shown = two_sites.ask("vial", "show", vial, "--site", "harrowmint")[1]["data"]
    assert (shown["sent_to"], taken.read_text()) == (None, "{}")


def test_ready_drawn_syringes_are_recorded_with_what_is_known(clinic):
    words = ("vial", "syringes", "ZZ-1041", "s-01", "s-02", "--punctured", "06:00")
    known = ("--drawn-by", SORREL, "--use-by", "11:00")

    gap = clinic.run(*words, "--at", "07:00", *BY)
    words = ("vial", "syringes", "ZZ-1041", "s-03", "--punctured", "06:00")
    whole = clinic.ask(*words, *known, "--at", "07:00", *BY)

    assert (gap[0], whole[0]) == (1, 0)
    assert whole[1]["data"]["record"]["syringes"] == ["S-03"]


def test_ready_drawn_syringes_past_their_time_are_told_later_use_by(clinic):
    words = ("vial", "syringes", "ZZ-1041", "S-01", "--punctured", "06:00", "--use-by", "23:30")
    clinic.clock("23:40")

    code, answer = clinic.ask(*words, "--drawn-by", SORREL, "--at", "07:00", *BY)

    assert (code, answer["alerts"][0]["code"]) == (1, "use-by-shortened")
