"""`thawline booking`: what a person or a program reads, and the exit code. Invented people."""

import io
import json
import shutil

import pytest

from thawline.cli import main

BY = ["--by", "Sorrel Kettlewick"]
HEADER = "id;name;born;date;time;dose\n"
GOOD = (
    "DEMO-000001;Ann Lee;25/12/1980;03/02/2027;9:30;1\n"
    "DEMO-000002;Ben Oak;;03/02/2027;14:00;1\n"
)
BAD = "DEMO-000003;Cat Elm;;30/02/2027;9:30;1\n"


@pytest.fixture(scope="module")
def new_home(tmp_path_factory) -> str:
    """A site with the demo's protocol in force and nothing booked."""
    home = str(tmp_path_factory.mktemp("new") / "home")
    main(["site", "new", "harrowmint", "--zone", "America/Chicago", "--home", home])
    main(["site", "pin", "Bryony Testwick", "284651", "--home", home])
    second = ["--countersign", "Bryony Testwick", "--pin", "284651"]
    main(["protocol", "adopt", "example-10-v2", *second, *BY, "--home", home])
    return home


@pytest.fixture
def home(new_home, tmp_path) -> str:
    """A copy of that site: a site is a plain folder."""
    return str(shutil.copytree(new_home, tmp_path / "home"))


@pytest.fixture
def file(tmp_path):
    """A writer of booking files in the encoding of western spreadsheets."""

    def write(text: str, name: str = "tuesday.csv") -> str:
        path = tmp_path / name
        path.write_bytes(text.encode("cp1252"))
        return str(path)

    return write


def _say(capsys, home, *words):
    capsys.readouterr()
    code = main([*words, "--home", home])
    return code, capsys.readouterr()


def _ask(capsys, home, *words):
    code, said = _say(capsys, home, *words, "--json")
    return code, json.loads(said.out)


def test_a_file_is_booked_and_says_how_it_was_read(capsys, home, file):
    code, said = _say(capsys, home, "booking", "load", file(HEADER + GOOD), *BY)

    assert code == 0
    assert " ".join(said.out.split()) == (
        "Read as semicolon, UTF-8, day-month-year (line 2: 25/12/1980), 24-hour times, "
        "columns: id = id, name = name, born = born, date = date, time = time, dose = dose. "
        "2 booked, 0 already there, 0 bad."
    )


def test_the_same_file_twice_says_already_there(capsys, home, file):
    path = file(HEADER + GOOD)
    _say(capsys, home, "booking", "load", path, *BY)

    code, answer = _ask(capsys, home, "booking", "load", path, *BY)

    assert (code, answer["data"]["booked"], answer["data"]["already_there"]) == (0, 0, 2)


def test_bad_rows_are_listed_and_good_rows_kept(capsys, home, file):
    code, answer = _ask(capsys, home, "booking", "load", file(HEADER + BAD + GOOD), *BY)

    assert (code, answer["ok"]) == (1, False)
    assert answer["data"]["booked"] == 2
    assert answer["data"]["bad_rows"] == [
        {"line": 2, "reason": "no day-month-year date of booking: '30/02/2027'"}
    ]
    assert [alert["code"] for alert in answer["alerts"]] == ["bad-rows"]


def test_a_dry_run_records_nothing(capsys, home, file):
    path = file(HEADER + GOOD)

    _, dry = _ask(capsys, home, "booking", "load", path, "--dry-run", *BY)
    _, wet = _ask(capsys, home, "booking", "load", path, *BY)

    assert (dry["data"]["booked"], dry["data"]["recorded"]) == (2, False)
    assert (wet["data"]["booked"], wet["data"]["recorded"]) == (2, True)


@pytest.mark.parametrize(
    ("text", "option"),
    [
        ("name;date;time\nAnn;03/02/2027;9:30\n", "--date-order"),
        ("name;date;time\nAnn;2027-02-03;1:30\n", "--clock"),
        ("name;slot;date;time\nAnn;x;2027-02-03;9:30\n", "--column"),
        ("name;phone\nAnn;1\n", "--column"),
        ("name;time,date\n", "--delimiter"),
    ],
    ids=["date order", "night or afternoon", "two times", "no time", "delimiter"],
)
def test_what_cannot_be_told_exits_3_and_names_the_option(capsys, home, file, text, option):
    code, said = _say(capsys, home, "booking", "load", file(text), *BY)

    assert (code, said.out) == (3, "")
    assert option in said.err


def test_the_option_that_was_asked_for_answers_it(capsys, home, file):
    path = file("Who;When\nAnn;03/02/2027 1:30\n")
    said = ["--column", "name=Who", "--column", "slot=When", "--clock", "24"]

    _, answer = _ask(capsys, home, "booking", "load", path, *said, "--date-order", "mdy", *BY)

    assert answer["data"]["booked"] == 1
    assert answer["not_known"] == ["born", "phone", "language", "dose"]
    _, listed = _ask(capsys, home, "booking", "list")
    assert listed["data"]["bookings"][0]["slot"] == "2027-03-02T01:30:00-06:00"


def test_the_same_remark_about_many_lines_is_said_once(capsys, home, file):
    rows = "".join(f"{i};Ann {i};2027-02-03;9:30\n" for i in range(20))

    _, said = _say(capsys, home, "booking", "load", file(f"id;name;date;time\n{rows}"), *BY)

    assert said.out.count("not a person's code") == 1
    assert "lines 2, 3, 4, 5, 6, 7, 8, 9, 10, 11, 12, 13 and 8 more:" in said.out


def test_a_file_comes_from_standard_input_too(capsys, monkeypatch, home):
    typed = io.TextIOWrapper(io.BytesIO((HEADER + GOOD).encode()))
    monkeypatch.setattr("sys.stdin", typed)

    code, answer = _ask(capsys, home, "booking", "load", "-", *BY)

    assert (code, answer["data"]["booked"]) == (0, 2)


def test_a_missing_file_exits_5_and_nobody_named_exits_2(capsys, home, file):
    assert _say(capsys, home, "booking", "load", "nowhere.csv", *BY)[0] == 5
    assert _say(capsys, home, "booking", "load", file(HEADER + GOOD))[0] == 2


def test_the_list_shows_time_person_and_name(capsys, home, file):
    _say(capsys, home, "booking", "load", file(HEADER + GOOD), *BY)

    code, said = _say(capsys, home, "booking", "list", "--on", "2027-02-03")

    assert code == 0
    assert said.out == (
        "time   person       name     dose  language  help  group  had dose\n"
        "09:30  DEMO-000001  Ann Lee     1  -         -     -      -\n"
        "14:00  DEMO-000002  Ben Oak     1  -         -     -      -\n"
        "2 bookings.\n"
    )


def test_a_day_without_bookings_has_an_empty_list(capsys, home):
    code, answer = _ask(capsys, home, "booking", "list", "--on", "2027-02-03")

    assert (code, answer["data"]["bookings"]) == (0, [])


def test_a_list_for_a_date_that_is_none_exits_3(capsys, home):
    assert _say(capsys, home, "booking", "list", "--on", "tuesday")[0] == 3
