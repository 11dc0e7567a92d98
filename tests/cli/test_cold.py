"""`thawline cold`: what a person or a program reads, and the exit code. Invented readings."""

import io
import json
from pathlib import Path

import pytest

from thawline.cli import main
from thawline.vial.leaving import HELD

ZONE = ["--zone", "America/Chicago"]
FRIDGE = [*ZONE, "--band", "fridge"]
# The hand example of the project's cold-chain notes, 7.3, as a logger would write it.
BY_HAND = (
    *("08:00 5.0", "08:15 5.2", "08:30 8.4", "08:45 10.0", "09:00 9.0", "09:15 7.0"),
    *("09:30 5.5", "09:45 5.5", "10:45 5.0", "11:00 1.0", "11:15 3.0"),
)


@pytest.fixture
def file(tmp_path):
    """A writer of logger files: "08:00 5.0" becomes a row of 5 February 2026."""

    def write(rows, name="fridge-2.csv", head="time,temp °C"):
        lines = [head, *(f"2026-02-05 {row.replace(' ', ',')}" for row in rows), ""]
        path = tmp_path / name
        path.write_text("\n".join(lines), encoding="utf-8")
        return str(path)

    return write


@pytest.fixture
def say(capsys):
    """A runner of commands: the exit code and what was printed."""

    def run(*words):
        capsys.readouterr()
        code = main(list(words))
        return code, capsys.readouterr()

    return run


@pytest.fixture
def told(say):
    """A runner of commands: the exit code and the object of --json."""

    def run(*words):
        code, printed = say(*words, "--json")
        return code, json.loads(printed.out)

    return run


def test_the_answer_has_every_key_of_the_contract(told, file):
    _, answer = told("cold", "read", file(BY_HAND), *FRIDGE)

    assert {
        *("readings", "first", "last", "interval_min", "unit", "gaps", "duplicates", "spikes"),
        *("out_of_order", "excursions", "totals", "unknown_min", "coverage_share", "min_c"),
        *("mean_c", "max_c", "mkt_c", "verdict"),
    } <= answer["data"].keys()


def test_l8_the_hand_example_is_answered_as_by_hand(told, file):
    code, answer = told("cold", "read", file(BY_HAND), *FRIDGE)
    data = answer["data"]

    assert (code, data["verdict"], data["readings"]) == (1, "excursion", 11)
    assert data["gaps"] == [
        {
            "from": "2026-02-05T09:45:00-06:00",
            "to": "2026-02-05T10:45:00-06:00",
            "missing": 3,
        }
    ]
    above, below = data["totals"]["above"], data["totals"]["below"]
    wanted = ("interpolated_min", "hold_min", "conservative_min")
    assert [above[key] for key in wanted] == pytest.approx([39.375, 45, 60], abs=1e-9)
    assert [below[key] for key in wanted] == pytest.approx([11.25, 15, 30], abs=1e-9)
    assert data["unknown_min"] == 60


def test_l8_a_second_value_and_a_spike_are_told_and_the_spike_stays_an_excursion(told, file):
    _, answer = told("cold", "read", file([*BY_HAND, "09:45 5.7", "11:30 85.0"]), *FRIDGE)
    data = answer["data"]

    assert [(each["kind"], each["values"]) for each in data["duplicates"]] == [
        ("conflicting", [5.5, 5.7])
    ]
    assert [(each["temp_c"], each["why"]) for each in data["spikes"]] == [
        (85, "a probe that has just started gives 85.0")
    ]
    assert [each["extreme_c"] for each in data["excursions"]] == [10, 1, 85]


def test_degrees_and_unit_are_the_same_option_of_a_file(told, file):
    path = file(["08:00 41", "08:15 42"], head="time,temp")

    asked = [
        told("cold", "read", path, *FRIDGE, name, "F")[1] for name in ("--unit", "--degrees")
    ]

    assert asked[0] == asked[1]
    assert asked[0]["data"]["unit"] == "F"


def test_an_excursion_always_says_the_five_things(say, file):
    _, printed = say("cold", "read", file(["08:00 8.1"]), *FRIDGE)
    says = " ".join(printed.out.split())

    assert "||| Stop: excursion: 1 reading above 8.0 °C" in says
    assert f"{HELD}. Do not discard. Keep it cold and apart" in says
    assert "Call the manufacturer and the health department" in says
    assert "does not decide whether vaccine may be used" in says


def test_every_answer_says_what_clears_nothing_and_where_limits_come_from(say, file):
    code, printed = say("cold", "read", file(["08:00 5.0", "08:15 5.1"]), *FRIDGE)
    says = " ".join(printed.out.split())

    assert code == 0
    assert (
        "MKT, averages and alarm rules describe the record; they do not clear vaccine." in says
    )
    assert "Limits come from protocol published version 3, in force from 2022-01-01" in says
    assert "Gaps are unknown time, not good time." in says


def test_how_the_file_was_read_is_said(say, file):
    _, printed = say("cold", "read", file(["08:00 5.0", "08:15 5.1"]), *FRIDGE)

    assert " ".join(printed.out.split()).startswith(
        "Read as year-month-day, °C (line 1: temp °C), America/Chicago (asked), every 15 min, "
        "24-hour times, comma, UTF-8. temp: 2 readings, Thu 5 Feb 08:00 to 08:15"
    )


def test_the_band_s_ends_are_in_it(told, file):
    rows = ["08:00 8.0", "08:15 2.0"]

    assert told("cold", "read", file(rows), *FRIDGE)[1]["data"]["verdict"] == "in-range"
    assert told("cold", "read", file(["08:00 8.1"]), *FRIDGE)[0] == 1


def test_a_gap_without_an_excursion_is_not_known(told, file):
    rows = ["08:00 5.0", "08:15 5.0", "09:15 5.0"]
    code, answer = told("cold", "read", file(rows), *FRIDGE)

    assert (code, answer["data"]["verdict"]) == (1, "not-known")
    assert answer["alerts"][0]["code"] == "not-known"


def test_values_that_are_missing_at_the_end_are_not_known_either(told, file):
    code, answer = told("cold", "read", file(["08:00 5.0", "08:05 5.0", "08:10 ERR"]), *FRIDGE)

    assert (code, answer["data"]["verdict"]) == (1, "not-known")
    assert answer["data"]["not_read"][0]["why"] == "no temperature"


def test_a_warm_reading_without_a_known_time_is_an_excursion(told, file):
    rows = ["01:00 5.0", "01:30 9.9", "02:00 5.0"]
    path = file(rows)
    text = Path(path).read_text(encoding="utf-8").replace("2026-02-05", "2026-11-01")
    Path(path).write_text(text, encoding="utf-8")

    code, answer = told("cold", "read", path, *FRIDGE)

    assert (code, answer["data"]["verdict"]) == (1, "excursion")
    assert answer["alerts"][0]["code"] == "excursion-without-time"


def test_without_a_band_it_is_asked_for(say, file):
    code, printed = say("cold", "read", file(["08:00 5.0"]), *ZONE)

    assert code == 3
    assert "Try: say --band fridge, frozen or room" in printed.err


@pytest.mark.parametrize(
    ("options", "head", "says"),
    [
        (FRIDGE, "time,temp", "--unit C or --unit F"),
        (["--band", "fridge"], "time,temp °C", "--zone America/Chicago"),
        ([*FRIDGE, "--unit", "F"], "time,temp °C", "leave out --unit"),
    ],
    ids=["no unit", "no zone", "another unit"],
)
def test_what_cannot_be_told_is_asked_for_by_its_option(say, file, options, head, says):
    code, printed = say("cold", "read", file(["08:00 5.0"], head=head), *options)

    assert code == 3
    assert says in printed.err


def test_a_refrigerator_in_fahrenheit_read_as_celsius_is_refused(told, file):
    rows = [f"08:{minute:02} 41.{minute % 7}" for minute in range(0, 60, 5)]
    code, answer = told("cold", "read", file(rows, head="time,temp"), "--unit", "C", *FRIDGE)

    assert (code, answer["data"], answer["error"]["code"]) == (3, None, "probably-fahrenheit")
    assert answer["alerts"][0]["level"] == "stop"
    assert "41.3 °F is 5.2 °C" in answer["alerts"][0]["says"]


def test_a_warm_freezer_is_an_excursion_and_no_slip_of_units(told, file):
    rows = ["08:00 -4.0", "08:15 -4.0"]
    code, answer = told("cold", "read", file(rows), *ZONE, "--band", "frozen")

    assert (code, answer["data"]["verdict"]) == (1, "excursion")
    assert "A thawed vial is never refrozen" in answer["alerts"][0]["says"]


def test_a_file_in_fahrenheit_is_answered_in_celsius(told, file):
    rows = ["08:00 41.0", "08:15 46.4", "08:30 46.5"]
    _, answer = told("cold", "read", file(rows, head="time,temp °F"), *FRIDGE)
    data = answer["data"]

    assert (data["unit"], data["min_c"], data["max_c"]) == ("F", 5.0, 8.056)
    assert data["totals"]["above"]["hold_min"] == 0
    assert data["excursions"][0]["readings"] == 1


def test_no_mean_kinetic_temperature_is_shown_for_a_record_that_froze(told, file):
    _, answer = told("cold", "read", file(["08:00 5.0", "08:15 0.0"]), *FRIDGE)

    assert answer["data"]["mkt_c"] is None
    assert "mkt_c" in answer["not_known"]
    assert "at or below 0 °C" in answer["data"]["mkt_c_not_known_because"]


def test_several_files_are_one_record_in_order_of_time(told, file):
    monday = file(["08:00 5.0", "08:15 5.1", "08:30 5.2"], "monday.csv")
    again = file(["08:15 5.1", "08:30 5.2", "08:45 8.4"], "again.csv")
    _, answer = told("cold", "read", again, monday, *FRIDGE)
    data = answer["data"]

    assert (data["readings"], data["repeated_between_files"]) == (4, 2)
    assert (data["gaps"], data["duplicates"], data["out_of_order"]) == ([], [], [])
    assert data["first"] == "2026-02-05T08:00:00-06:00"
    assert len(data["read_as"]) == 2


def test_two_files_that_contradict_each_other_keep_both_values(told, file):
    one = file(["08:00 5.0", "08:15 5.1"], "one.csv")
    other = file(["08:00 5.0", "08:15 9.1"], "other.csv")
    code, answer = told("cold", "read", one, other, *FRIDGE)

    assert code == 1
    assert answer["data"]["duplicates"] == [
        {"at": "2026-02-05T08:15:00-06:00", "kind": "conflicting", "values": [5.1, 9.1]}
    ]


def test_a_band_can_be_typed(told, file):
    _, answer = told("cold", "read", file(["08:00 -20.0"]), *ZONE, "--band", "-50..-15")

    assert answer["data"]["band"] == {
        "name": None,
        "low_c": -50.0,
        "high_c": -15.0,
        "item": None,
    }


@pytest.mark.parametrize(
    ("band", "says"),
    [
        ("8..2", "the wrong way round"),
        ("36..46", "numbers in °F"),
        ("cellar", "no band 'cellar' in the protocol"),
    ],
)
def test_a_band_that_cannot_be_is_refused(say, file, band, says):
    code, printed = say("cold", "read", file(["08:00 5.0"]), *ZONE, "--band", band)

    assert code == 3
    assert says.casefold() in printed.err.casefold()


def test_a_logger_that_reads_seldom_is_noticed(told, file):
    rows = ["08:00 5.0", "08:31 5.0", "09:02 5.0"]
    code, answer = told("cold", "read", file(rows), *FRIDGE)

    assert code == 0
    assert ("logging-interval", "L1") in [
        (alert["code"], alert["item"]) for alert in answer["alerts"]
    ]


def test_an_interval_that_is_said_makes_gaps_of_what_is_longer(told, file):
    rows = ["08:00 5.0", "08:30 5.0"]
    _, answer = told("cold", "read", file(rows), *FRIDGE, "--interval", "15")

    assert (answer["data"]["verdict"], answer["data"]["unknown_min"]) == ("not-known", 30)


def test_a_worse_accuracy_widens_at_most_and_excuses_nothing(told, file):
    path = file(["08:00 7.8", "08:15 7.8", "08:30 8.2"])
    _, exact = told("cold", "read", path, *FRIDGE, "--accuracy", "0")
    _, rough = told("cold", "read", path, *FRIDGE, "--accuracy", "0.5")
    above = [each["data"]["totals"]["above"] for each in (exact, rough)]

    assert [each["conservative_min"] for each in above] == [15, 15]
    assert above[0]["at_most_min"] < above[1]["at_most_min"]


def test_a_file_is_read_from_standard_input(told, monkeypatch):
    raw = b"time,temp \xc2\xb0C\n2026-02-05 08:00,5.0\n"
    monkeypatch.setattr("sys.stdin", io.TextIOWrapper(io.BytesIO(raw)))

    assert told("cold", "read", "-", *FRIDGE)[1]["data"]["readings"] == 1


def test_a_file_that_is_not_there_is_not_found(say):
    assert say("cold", "read", "no-such-file.csv", *FRIDGE)[0] == 5


def test_no_file_is_wrong_usage(say):
    assert say("cold", "read", *FRIDGE)[0] == 2


def test_the_excursions_come_as_a_table_for_spreadsheets(say, file):
    _, printed = say("cold", "read", file(BY_HAND), *FRIDGE, "--csv")

    assert printed.out.splitlines()[0].startswith("from,to,side,readings")
    assert len(printed.out.splitlines()) == 3


def test_a_named_site_gives_zone_and_protocol(say, harrowmint, file):
    home = ["--home", str(harrowmint)]
    words = ["cold", "read", file(["08:00 5.0"]), "--band", "fridge", "--json", *home]
    code, printed = say(*words, "--site", "harrowmint")
    answer = json.loads(printed.out)

    assert code == 0
    assert answer["data"]["first"] == "2026-02-05T08:00:00-06:00"
    assert answer["protocol"]["id"] == "example-10"
    assert say(*words)[0] == 3  # no site named, no zone


def test_stays_are_described_as_printed_elsewhere(told):
    # 25 °C and 23 °C for equal times: 24.05 °C, a worked example in print (M3 of the notes).
    code, answer = told("cold", "kinetic", "--stays", "23 C 1 h, 25 C 1 h")

    assert code == 0
    assert answer["data"].keys() >= {"mkt_c", "mean_c", "min_c", "max_c", "hours"}
    assert answer["data"]["mkt_c"] == pytest.approx(24.05, abs=0.01)
    assert answer["data"]["hours"] == 2


def test_a_stay_below_freezing_is_said_beside_the_number_that_hides_it(told):
    # 22 h at 5 °C and 2 h at -2 °C: 4.6005 °C, row M8 of the project's cold-chain notes.
    _, answer = told("cold", "kinetic", "--stays", "5 C 22 h, -2 C 2 h")

    assert answer["data"]["mkt_c"] == pytest.approx(4.6005, abs=0.001)
    assert answer["alerts"][0]["code"] == "touched-freezing"
