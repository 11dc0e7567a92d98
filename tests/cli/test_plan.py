"""`thawline plan`: what a person or a program reads, and the exit code. Invented bookings."""

import io
import json
from pathlib import Path

import pytest

from thawline.cli import main

HEADER = "name,group,date,time,dose\n"
MORNING = "".join(f"Ann {i},nurses,2026-02-03,09:00,1\n" for i in range(11))
LATER = "".join(f"Ben {i},nurses,2026-02-03,09:30,1\n" for i in range(5))
EVENING_BEFORE = ["--at", "2026-02-02T16:00:00-06:00"]
HERE = ["--zone", "America/Chicago", "--protocol", "example-10-v2", *EVENING_BEFORE]


@pytest.fixture
def file(tmp_path):
    """A file of sixteen bookings."""
    path = tmp_path / "tuesday.csv"
    path.write_text(HEADER + MORNING + LATER)
    return str(path)


def _say(capsys, *words):
    code = main(["plan", *words])
    return code, capsys.readouterr()


def _ask(capsys, *words):
    code, said = _say(capsys, *words, "--json")
    return code, json.loads(said.out)


# --- waste -----------------------------------------------------------------------------------


def test_the_waste_of_bookings_is_answered_with_its_keys(capsys):
    code, answer = _ask(
        capsys, "waste", "--booked", "24", "--no-show", "0.15", "--doses-per-vial", "10"
    )

    assert (code, answer["ok"], answer["protocol"]) == (0, True, None)
    assert set(answer["data"]) == {"expected_wasted", "expected_vials", "waste_share"}
    assert answer["data"]["expected_wasted"] == pytest.approx(4.648777, abs=5e-7)


def test_the_waste_of_a_stream_on_four_tables_is_four_times_that_of_a_quarter(capsys):
    _, quarter = _ask(capsys, "waste", "--expected", "5", "--doses-per-vial", "10")
    _, four = _ask(
        capsys, "waste", "--expected", "20", "--doses-per-vial", "10", "--tables", "4"
    )

    assert four["data"]["expected_wasted"] == pytest.approx(
        4 * quarter["data"]["expected_wasted"]
    )


def test_the_waste_of_nobody_has_no_share(capsys):
    code, answer = _ask(capsys, "waste", "--expected", "0", "--doses-per-vial", "10")

    assert (code, answer["data"]["waste_share"]) == (0, None)
    assert answer["not_known"] == ["waste_share"]


@pytest.mark.parametrize(
    "words",
    [
        ["--booked", "24", "--doses-per-vial", "10"],
        ["--booked", "24", "--no-show", "0.1", "--expected", "3", "--doses-per-vial", "10"],
        ["--no-show", "0.1", "--doses-per-vial", "10"],
        ["--booked", "24", "--no-show", "-0.1", "--doses-per-vial", "10"],
        ["--expected", "nan", "--doses-per-vial", "10"],
        ["--expected", "5", "--doses-per-vial", "0"],
        ["--expected", "5", "--doses-per-vial", "10", "--tables", "4", "--preparers", "3"],
    ],
)
def test_a_question_about_waste_that_makes_no_sense_exits_3(capsys, words):
    code, answer = _ask(capsys, "waste", *words)

    assert (code, answer["data"]) == (3, None)
    assert answer["error"]["try"]


def test_a_word_for_a_number_exits_2(capsys):
    code, _ = _say(capsys, "waste", "--booked", "many", "--doses-per-vial", "10")

    assert code == 2


# --- thaw ------------------------------------------------------------------------------------


def test_a_plan_from_a_file_needs_no_site(capsys, file, tmp_path):
    code, answer = _ask(
        capsys, "thaw", "--bookings", file, "--no-show", "0.1", *HERE, "--home", str(tmp_path)
    )

    first, second = answer["data"]["half_hours"]
    assert code == 0
    assert (first["vials"], second["vials"]) == (2, 0)
    assert first["to_fridge_by"] == "2026-02-03T06:15:00-06:00"
    assert first["to_table_by"] == "2026-02-03T08:45:00-06:00"
    assert first["straight_to_table_by"] == "2026-02-03T08:00:00-06:00"
    assert (second["to_fridge_by"], second["to_table_by"]) == (None, None)
    assert answer["protocol"]["id"] == "example-10"


def test_the_plan_names_its_source_its_age_and_what_is_not_in_it(capsys, file):
    _, answer = _ask(capsys, "thaw", "--bookings", file, "--no-show", "8 %", *HERE)

    data = answer["data"]
    assert data["no_show"]["said_by"] == "given by hand"
    assert data["no_show"]["shares"] == {"*": 0.08}
    assert data["bookings_as_of"]
    assert answer["not_known"] == ["walk_ups"]


def test_the_printed_plan_prices_one_vial_more_or_less(capsys, file):
    code, said = _say(capsys, "thaw", "--bookings", file, "--no-show", "0.1", *HERE)

    lines = said.out.splitlines()
    priced = [line.split() for line in lines if "vial" in line[:16] or "as plan" in line]
    assert code == 0
    assert "half-hour  booked  low  likely  high  vials  in all" in said.out
    assert priced[0] == ["one", "vial", "fewer", "1", "99.7", "%", "4.40", "0.0"]
    assert priced[1] == ["as", "planned", "2", "0.0", "%", "0.00", "5.6"]
    assert "Over-thawing is cheap, over-opening is dear" in said.out
    assert max(map(len, lines)) <= 100


def test_the_printed_plan_says_what_is_taken_off_and_what_is_not_known(
    capsys, monkeypatch, file
):
    typed = io.TextIOWrapper(io.BytesIO(Path(file).read_bytes()))
    monkeypatch.setattr("sys.stdin", typed)
    words = ["--no-show", "0.1", *HERE, "--ready-doses", "3", "--chilled-vials", "1"]

    _, said = _say(capsys, "thaw", "--bookings", "-", *words)

    assert "Bookings as of ? (not known)." in said.out
    assert "Taken off: 3 doses ready or open, 1 chilled vial." in said.out
    assert " 06:15 " not in said.out
    assert said.out.count(" 06:45 ") == 1


def test_a_move_that_is_late_is_a_finding(capsys, file):
    late = ["--zone", "America/Chicago", "--protocol", "example-10-v2"]
    late += ["--at", "2026-02-03T07:00:00-06:00"]

    code, answer = _ask(capsys, "thaw", "--bookings", file, "--no-show", "0.1", *late)

    assert code == 1
    assert [alert["code"] for alert in answer["alerts"]] == ["too-late-for-fridge"]


def test_no_shows_by_group_come_from_a_file(capsys, file, tmp_path):
    groups = tmp_path / "groups.csv"
    groups.write_text("grupo;ausencias\nnurses;0 %\n")

    _, answer = _ask(capsys, "thaw", "--bookings", file, "--no-show", str(groups), *HERE)

    assert answer["data"]["people"] == {"low": 16, "likely": 16, "high": 16}
    assert answer["data"]["no_show"]["said_by"] == "given by group, in a file"


def test_a_group_without_a_share_exits_3_and_is_named(capsys, file, tmp_path):
    groups = tmp_path / "groups.csv"
    groups.write_text("group,no_show\nteachers,0.1\n")

    code, answer = _ask(capsys, "thaw", "--bookings", file, "--no-show", str(groups), *HERE)

    assert code == 3
    assert "'nurses'" in answer["error"]["says"]


@pytest.mark.parametrize(
    ("words", "says"),
    [
        (["--no-show", "0.1", "--protocol", "example-10-v2"], "need a time zone"),
        (HERE, "no no-show share"),
        ([*HERE, "--no-show", "1.2"], "between 0 and 1"),
        ([*HERE, "--no-show", "nan"], "between 0 and 1"),
        ([*HERE, "--no-show", "100 %"], "no-show 100 %"),
        ([*HERE, "--no-show", "0.1", "--seed", "4"], "rolling"),
        ([*HERE, "--no-show", "0.1", "--rolling", "--person-price", "9"], "prices"),
        ([*HERE, "--no-show", "0.1", "--rolling", "--again-min", "0"], "asked again"),
        ([*HERE, "--no-show", "0.1", "--rolling", "--day-spread", "0.6"], "day spread"),
        ([*HERE, "--no-show", "0.1", "--rolling", "--walk-ups-per-hour", "-1"], "walk-ups"),
        ([*HERE, "--no-show", "0.1", "--service", "0.4"], "service level"),
        ([*HERE, "--no-show", "0.1", "--ready-doses", "-1"], "fewer than none"),
        (["--zone", "Mars/Base", "--no-show", "0.1"], "unknown time zone"),
        ([*HERE, "--no-show", "0.1", "--on", "soon"], "not a date"),
    ],
)
def test_a_plan_that_lacks_something_exits_3(capsys, file, tmp_path, words, says):
    code, answer = _ask(
        capsys, "thaw", "--bookings", file, *words, "--home", str(tmp_path / "none")
    )

    assert code == 3
    assert says in answer["error"]["says"]


def test_a_file_with_a_bad_row_makes_no_plan(capsys, tmp_path):
    bad = tmp_path / "bad.csv"
    bad.write_text(HEADER + MORNING + "Cat,nurses,2026-02-30,09:00,1\n")

    code, answer = _ask(capsys, "thaw", "--bookings", str(bad), "--no-show", "0.1", *HERE)

    assert code == 3
    assert "line 13" in answer["error"]["says"]


def test_what_belongs_to_a_file_is_refused_without_one(capsys, tmp_path):
    code, answer = _ask(capsys, "thaw", "--zone", "America/Chicago", "--home", str(tmp_path))

    assert code == 3
    assert "--bookings FILE" in answer["error"]["try"]


def test_a_day_without_bookings_exits_5(capsys, file):
    words = ["--on", "2026-02-04", "--no-show", "0.1", *HERE]

    assert _say(capsys, "thaw", "--bookings", file, *words)[0] == 5


def test_a_plan_of_a_site_takes_its_bookings_from_the_ledger(capsys, file, tmp_path):
    home = ["--home", str(tmp_path / "home")]
    main(["site", "new", "harrowmint", "--zone", "America/Chicago", *home])
    main(["site", "pin", "Bryony Testwick", "284651", *home])
    second = ["--countersign", "Bryony Testwick", "--pin", "284651", "--by", "Rowan Thistle"]
    main(["protocol", "adopt", "example-10-v2", *second, *home])
    main(["booking", "load", file, "--by", "Sorrel Kettlewick", *home])
    capsys.readouterr()

    words = ["--on", "2026-02-03", "--no-show", "0.1", *EVENING_BEFORE]
    code, answer = _ask(capsys, "thaw", *words, *home)

    assert code == 0
    assert (answer["data"]["booked"], answer["data"]["planned_vials"]) == (16, 2)
    assert answer["protocol"]["version"] == 2


def test_the_rolling_thaw_says_what_to_move_at_what_price_and_error(capsys, file):
    prices = ["--person-price", "9", "--fridge-price", "0.1", "--table-price", "1"]
    words = ["--no-show", "0.1", "--rolling", "--days", "200", "--seed", "7", *prices, *HERE]
    code, answer = _ask(capsys, "thaw", "--bookings", file, *words)
    _, said = _say(capsys, "thaw", "--bookings", file, *words)

    rolling = answer["data"]["rolling"]
    assert code == 0
    assert rolling["service_fridge"] == pytest.approx(9 / 9.1)
    assert rolling["service_table"] == pytest.approx(9 / 10)
    assert (rolling["at"], rolling["seed"]) == ("2026-02-03T06:00:00-06:00", 7)
    assert rolling["rules"][0]["expected_vials"] == {"mean": 2.0, "error": 0.0}
    assert "taken as widest" in rolling["day_spread_says"]
    assert "seed 7, ± the standard error" in said.out


def test_quiet_bookings_are_gathered_and_the_doses_saved_are_said(capsys, tmp_path):
    quiet = tmp_path / "quiet.csv"
    hours = "".join(f"Ann {h},nurses,2026-02-03,{h:02d}:00,1\n" for h in range(8, 18))
    quiet.write_text(HEADER + hours)
    words = ["clusters", "--bookings", str(quiet), "--no-show", "0.15", *HERE]
    code, answer = _ask(capsys, *words)
    _, said = _say(capsys, *words)

    data = answer["data"]
    assert code == 0
    assert data["expected_wasted_gathered"] == pytest.approx(1.5, abs=1e-6)
    assert data["expected_wasted_as_booked"] > 9
    assert data["one_vial"][1]["expected_turned_away"] == pytest.approx(0.1673, abs=5e-5)
    assert "4 places would move" in " ".join(said.out.split())
    assert max(map(len, said.out.splitlines())) <= 100


def test_a_busy_day_has_no_clusters_and_exits_3(capsys, tmp_path):
    busy = tmp_path / "busy.csv"
    rows = "".join(f"Ann {i},nurses,2026-02-03,09:00,1\n" for i in range(601))
    busy.write_text(HEADER + rows)

    assert _say(capsys, "clusters", "--bookings", str(busy), "--no-show", "0.1", *HERE)[0] == 3


# --- queue and chairs ------------------------------------------------------------------------


def test_a_queue_is_answered_with_its_keys(capsys):
    words = ["queue", "--per-hour", "20", "--service-s", "120", "--servers", "2"]
    code, answer = _ask(capsys, *words)

    assert code == 0
    assert set(answer["data"]) == {
        *("p_wait", "mean_wait_s", "mean_in_system", "utilisation"),
        *("served_within_share", "fewest_servers"),
    }
    assert answer["data"]["mean_wait_s"] == pytest.approx(15)


def test_a_promise_is_repeated_as_it_was_made_and_never_rounded_up(capsys):
    words = ["queue", "--per-hour", "20", "--service-s", "120", "--servers", "2"]
    _, said = _say(capsys, *words, "--within-s", "300", "--promise", "0.9999")

    assert "keep the promise: 99.99 % of people" in " ".join(said.out.split())


def test_a_line_that_grows_is_an_alert_and_its_length_not_known(capsys):
    words = ["queue", "--per-hour", "65", "--service-s", "150", "--servers", "2"]
    code, answer = _ask(capsys, *words, "--within-s", "300")

    assert (code, answer["alerts"][0]["code"]) == (1, "too-few-servers")
    assert answer["not_known"] == ["mean_wait_s", "mean_in_system"]
    assert answer["data"]["fewest_servers"] == 4


def test_chairs_are_answered_with_their_keys(capsys):
    words = ["chairs", "--per-hour", "240", "--stay", "15 min 100 %", "--cover", "0.99"]
    code, answer = _ask(capsys, *words)

    assert (code, answer["data"]) == (0, {"mean": 60.0, "chairs": 79})


@pytest.mark.parametrize(
    "words",
    [
        ["queue", "--per-hour", "65", "--service-s", "150", "--servers", "0"],
        ["queue", "--per-hour", "65", "--service-s", "150", "--servers", "3", "--promise", "1"],
        ["chairs", "--per-hour", "65", "--stay", "15 min 90 %", "--cover", "0.99"],
        ["chairs", "--per-hour", "65", "--stay", "15 min 100 %", "--cover", "1"],
    ],
)
def test_a_station_that_cannot_be_is_named(capsys, words):
    code, answer = _ask(capsys, *words)

    assert code == 3
    assert answer["error"]["try"]


# --- opening ---------------------------------------------------------------------------------

_WALKS = ("--no-show", "0.1", "--hours", "9", "--person-price", "3")
SPARSE = ["opening", "--booked", "24", "--no-show", "0.15", "--hours", "10"]


def test_the_opening_table_says_from_how_many_on(capsys):
    code, answer = _ask(capsys, *SPARSE, "--person-price", "3", "--protocol", "example-10-v3")

    assert code == 0
    assert [step["people"] for step in answer["data"]["opens_from"]] == [1, 2, 3]
    assert answer["data"]["best"]["doses_wasted"] == pytest.approx(1.48, abs=0.005)


def test_it_says_plainly_when_open_when_asked_is_the_best_there_is(capsys):
    code, said = _say(capsys, *SPARSE, "--person-price", "12", "--protocol", "example-10-v3")

    assert code == 0
    assert "nothing beats it" in said.out


@pytest.mark.parametrize(
    "words",
    [
        ["--no-show", "0.15", "--hours", "0", "--person-price", "3"],
        ["--no-show", "0.15", "--hours", "inf", "--person-price", "3"],
        [
            *("--no-show", "0.1", "--hours", "9", "--person-price", "3"),
            "--walk-ups-per-hour=inf",
        ],
        ["--no-show", "0.15", "--hours", "25", "--person-price", "3"],
        ["--no-show", "0.15", "--hours", "10", "--person-price", "-3"],
        ["--no-show", "0.15", "--hours", "10", "--person-price", "3", "--slot-min", "0"],
        [
            "--no-show",
            "0.15",
            "--hours",
            "10",
            "--person-price",
            "3",
            "--walk-ups-per-hour",
            "-1",
        ],
        [
            "--no-show",
            "0.15",
            "--hours",
            "10",
            "--person-price",
            "3",
            "--tables",
            "4",
            "--preparers",
            "3",
        ],
        ["--hours", "10", "--person-price", "3", "--no-show", "1"],
    ],
)
def test_an_opening_plan_that_cannot_be_is_named(capsys, words):
    code, answer = _ask(capsys, "opening", "--booked", "24", *words)

    assert code == 3
    assert answer["error"]["try"]
