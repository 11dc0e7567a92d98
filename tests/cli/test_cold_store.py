"""The cold store by command: read a display, hold what was inside, print the record."""

from pathlib import Path

import pytest
from tests.cast import BRYONY, HAZEL, PINS, ROWAN

from thawline.adapters.wiring import open_site
from thawline.app.cold import readings_of
from thawline.cli import main

BY = ("--by", ROWAN)
TWO = ("--countersign", BRYONY, "--pin", PINS[BRYONY])
NIGHT = (("01:30", -20), ("01:35", -18), ("01:40", -14), ("01:45", -10), ("01:50", -16))


@pytest.fixture
def cold(clinic):
    """Harrowmint with its units named."""
    for name, band in (
        ("freezer-1", "frozen"),
        ("fridge-1", "refrigerator"),
        ("table-1", "room"),
    ):
        clinic.run("site", "unit", name, "--band", band)
    return clinic


def read_file(clinic, unit, rows, tmp_path):
    """Record a logger's file, as the coordinator does in the morning."""
    path = tmp_path / "log.csv"
    lines = [f"2026-02-03 {clock}:00,{degrees}" for clock, degrees in rows]
    path.write_text("\n".join(["time,temperature", *lines, ""]))
    return clinic.ask("cold", "keep", unit, str(path), "--unit", "C", *BY)


@pytest.fixture
def night(cold, tmp_path):
    """A freezer that was above its band from 01:40 to 01:45."""
    read_file(cold, "freezer-1", NIGHT, tmp_path)
    return cold


def test_a_display_in_band_is_recorded_without_a_word(cold):
    words = (
        "cold",
        "reading",
        "fridge-1",
        "--now-c",
        "5.1",
        "--min-c",
        "3.9",
        "--max-c",
        "7.2",
    )

    code, answer = cold.ask(*words, "--reset", *BY)

    record = answer["data"]["record"]
    assert (code, answer["data"]["event"]) == (0, "ReadingTaken")
    assert (record["temp_mc"], record["min_mc"], record["max_mc"], record["reset"]) == (
        *(5100, 3900, 7200),
        True,
    )


def test_a_most_above_the_band_is_an_excursion(cold):
    words = ("cold", "reading", "fridge-1", "--now-c", "5", "--max-c", "8.1")

    code, out, err = cold.run(*words, *BY)

    assert code == 1
    assert "at least one reading out, for how long is not known" in " ".join(
        (out + err).split()
    )


@pytest.mark.parametrize(
    ("words", "code", "says"),
    [
        (("fridge-9", "--now-c", "5"), 5, "No storage unit fridge-9 here"),
        (("fridge-1", "--now-c", "5", "--min-c", "6"), 3, "does not lie between 6 and 5"),
        (("fridge-1", "--now-c", "-300"), 2, "not between minus 100 and 60 °C"),
        (("fridge-1", "--now-c", "warm"), 2, "not a number: 'warm'"),
        (("fridge-1",), 2, "--now-c"),
        (("fridge-1", "--now-c", "5", "--at", "23:59"), 3, "has not come yet"),
    ],
)
def test_a_reading_that_cannot_be_is_answered_with_its_value(cold, words, code, says):
    found, _, err = cold.run("cold", "reading", *words, *BY)

    assert found == code
    assert says in err


def test_a_warm_table_holds_the_vial_on_it_and_the_syringe_from_it(cold):
    code = cold.opened()
    cold.run("vial", "draw", code, "--doses", "1", "--at", "07:05", "--by", HAZEL)

    _, answer = cold.ask("cold", "reading", "table-1", "--now-c", "25.6", "--at", "08:00", *BY)

    assert answer["data"]["record"]["vials"] == [code]
    assert answer["data"]["record"]["syringes"] == [f"{code}-01"]
    assert cold.ask("vial", "show", code)[1]["data"]["state"] == "held"


def test_a_quiet_freezer_without_readings_is_not_known(cold):
    code, answer = cold.ask("cold", "exposure", "freezer-1")

    assert (code, answer["data"]["verdict"], answer["not_known"]) == (1, None, ["verdict"])
    assert answer["data"]["excursions"] == []


def test_an_exposure_names_what_was_inside_and_for_how_long(night):
    code, answer = night.ask("cold", "exposure", "freezer-1", "--until", "01:50")

    (excursion,) = answer["data"]["excursions"]
    (carton,) = excursion["inside"]
    assert (code, answer["data"]["verdict"]) == (1, "excursion")
    assert (excursion["at_least_min"], excursion["at_most_min"]) == (5, 15)
    assert (carton["kind"], carton["vials"], carton["doses"], carton["held"]) == (
        *("carton", 40, 400),
        False,
    )
    assert carton["worst"]["use_by"] == "2026-03-05T01:35:00-06:00"


def test_the_page_says_what_to_do_and_clears_nothing(night):
    _, out, err = night.run("cold", "exposure", "freezer-1", "--until", "01:50")

    said = " ".join(out.split())
    assert "out at least 5 min, at most 15 min" in said.lower()
    assert "sealed ZZ-1041 40" in said
    assert "clears nothing: held, do not use, do not discard, kept cold and apart, call" in said
    assert "thawline cold exposure freezer-1 --hold" in " ".join((out + err).split())
    assert max(len(line) for line in out.splitlines()) <= 100


def test_a_hold_reaches_the_sealed_vials_and_starts_their_clocks(night):
    why = ("--hold", "--why", "door open", *BY)

    code, answer = night.ask("cold", "exposure", "freezer-1", *why)
    taken = ("vial", "to-fridge", "--lot", "ZZ-1041", "--count", "1")
    _, vial = night.ask(*taken, *BY)

    assert (code, answer["data"]["clocks_started"]) == (1, 1)
    assert answer["data"]["record"]["cartons"] == ["freezer-1|ZZ-1041"]
    assert vial["data"]["vials"][0]["state"] == "held"
    assert vial["data"]["vials"][0]["clocks"][1]["started"] == "2026-02-03T01:35:00-06:00"


def test_a_record_without_anything_lists_what_is_missing(night):
    code, answer = night.ask("cold", "record", "freezer-1")
    _, out, _ = night.run("cold", "record", "freezer-1")

    assert code == 1
    assert answer["not_known"] == answer["data"]["missing"]
    assert len(answer["data"]["missing"]) == 4
    assert "What happened: MISSING" in out
    assert "Called: MISSING" in out


def test_the_whole_record_is_printed_by_its_case_number(night):
    night.run("cold", "exposure", "freezer-1", "--hold", "--why", "door open", *BY)
    night.run("cold", "reading", "table-1", "--now-c", "21.5", *BY)
    called = ("--called", "Health Unit", "--answer", "use it")
    night.run("cold", "call", "freezer-1", *called, "--case", "UV-17", *BY)
    release = ("vial", "release", "--carton", "freezer-1:ZZ-1041", "--why", "health unit: use")
    code, _, _ = night.run(*release, *called, "--case", "UV-17", *BY, *TWO)

    _, out, _ = night.run("cold", "record", "UV-17")

    said = " ".join(out.split())
    assert code == 0
    assert "Label: HELD – DO NOT USE" in said  # noqa: RUF001  the words on every label
    assert "What happened: door open" in said
    assert "Room temperature: 21.5 °C at table-1" in said
    assert "Called: Health Unit, 12:00" in said
    assert "by Rowan Thistle and Bryony Testwick: health unit: use" in said
    assert "Still held: nothing" in said
    assert "Missing in this record: nothing" in said


def test_a_case_that_nobody_has_is_not_found(night):
    code, answer = night.ask("cold", "record", "UV-99")

    assert (code, answer["error"]["says"]) == (5, "no storage unit and no case UV-99 here")


def test_a_carton_is_named_by_freezer_and_lot(night):
    code, _, err = night.run(
        "vial", "release", "--carton", "ZZ-1041", "--why", "use", *BY, *TWO
    )

    assert (code, "write freezer and lot, as freezer-1:ZZ-1041" in err) == (3, True)


def test_the_same_file_read_twice_is_on_record_once(night, tmp_path):
    code, again = read_file(night, "freezer-1", NIGHT, tmp_path)

    assert (code, again["data"]["again"]) == (1, True)  # 1: it shows an excursion


def test_what_of_a_file_is_not_recorded_is_said(cold, tmp_path):
    code, answer = read_file(cold, "fridge-1", [("01:00", 5), ("01:05", "ERR"), ("01:10", 6)],
                             tmp_path)  # fmt: skip

    assert (code, answer["data"]["record"]["readings"]) == (1, 2)
    assert (answer["data"]["lines_not_read"], answer["data"]["without_time"]) == (1, 0)
    assert [alert["code"] for alert in answer["alerts"]] == ["not-on-record"]


def test_the_doctor_looks_at_the_readings_that_entries_vouch_for(night):
    _, whole = night.ask("doctor", "--site", "harrowmint")
    kept = next((open_site_folder(night) / "logger-files").iterdir())
    kept.write_text("something else")

    code, damaged = night.ask("doctor", "--site", "harrowmint")

    seen = [look["seen"] for look in whole["data"]["looks"] if look["what"] == "readings"]
    assert seen == ["1 files, 5 readings, as vouched for"]
    assert code == 1
    assert [alert["code"] for alert in damaged["alerts"]] == ["readings"]


def open_site_folder(clinic):
    return Path(clinic.home) / "sites" / "harrowmint"


def test_a_backup_brings_the_readings_back(night, tmp_path):
    folder = open_site_folder(night)
    night.run("backup", "make", "--site", "harrowmint")
    kept = next((folder / "backups").iterdir())
    key = tmp_path / "backup.key"
    key.write_bytes((folder / "keys" / "backup.key").read_bytes())
    other = tmp_path / "other"

    words = ("backup", "restore", str(kept), "--key", str(key), "--why", "laptop fell", *BY)
    code = main([*words, "--home", str(other)])

    site = open_site(other, "harrowmint")
    with site.ledger.view() as view:
        (sourced,) = readings_of(site, view, "freezer-1")
    assert code == 0
    assert sourced.readings.temp_mc.tolist() == [-20_000, -18_000, -14_000, -10_000, -16_000]


def test_the_picture_of_a_unit_shows_the_display_and_what_is_held(night, tmp_path):
    night.run("cold", "reading", "freezer-1", "--now-c", "-19.5", "--at", "02:10", *BY)
    night.run("cold", "exposure", "freezer-1", "--hold", "--why", "door open", *BY)
    drawn = tmp_path / "night.svg"

    _, out, _ = night.run(
        *("cold", "graph", "--unit", "freezer-1", "--until", "02:30", "--svg", str(drawn))
    )

    assert "o by hand" in out
    assert "After the last reading nothing is known." in out
    assert "Held on 2026-02-03" in out
    assert "1 carton (door open)" in " ".join(out.split())
    assert "Only a release ends a hold." in " ".join(out.split())
    assert "read by hand" in drawn.read_text()
