"""`thawline second`: what a person or a program reads, and the exit code."""

import json

import pytest

from thawline.base.findings import Level
from thawline.cli import main
from thawline.cli.second import undated_findings
from thawline.rebook.due import DueList


def _ask(capsys, *words: str) -> tuple[int, dict]:
    code = main(["second", *words, "--json"])
    return code, json.loads(capsys.readouterr().out)


@pytest.fixture(scope="module")
def home(tmp_path_factory) -> str:
    """A site with a made-up protocol, where three cards were typed in."""
    home = str(tmp_path_factory.mktemp("home"))
    by = ["--by", "Rowan Thistle", "--home", home]
    main(["site", "new", "harrowmint", "--zone", "America/Chicago", "--home", home])
    main(["site", "pin", "Bryony Testwick", "284651", "--home", home])
    second = ["--countersign", "Bryony Testwick", "--pin", "284651"]
    main(["protocol", "adopt", "example-10-v2", *second, *by])
    for person, given in (("DEMO-000001", "2026-02-03"), ("DEMO-000002", "2026-02-04")):
        main(["dose", "told", person, given, *by])
    return home


def test_the_dates_that_a_first_dose_sets_are_answered_without_a_site(capsys):
    code, answer = _ask(capsys, "when", "--first", "2026-02-03", "--protocol", "example-10-v2")

    assert code == 0
    assert answer["data"] == {
        "earliest_valid": "2026-02-27",
        "earliest_bookable": "2026-03-03",
        "due": "2026-03-03",
        "late_after": "2026-03-17",
        "verdict": None,
        "says": "From 2026-03-03 (day 28), and by 2026-03-17 (day 42) where it can be; "
        "later still counts.",
        "repeat_not_before": None,
    }
    assert answer["protocol"]["version"] == 2


def test_a_dose_too_early_is_a_finding_and_its_repeat_has_a_date(capsys):
    days = ["--first", "2021-12-10", "--given", "2021-12-30"]

    code, answer = _ask(capsys, "when", *days)

    assert code == 1
    assert (answer["data"]["verdict"], answer["data"]["repeat_not_before"]) == (
        "error",
        "2022-01-27",
    )
    assert [alert["code"] for alert in answer["alerts"]] == ["too-early"]


def test_a_dose_in_its_window_is_no_finding(capsys):
    code, answer = _ask(capsys, "when", "--first", "2026-02-03", "--given", "2026-03-04")

    assert (code, answer["alerts"]) == (0, [])
    assert answer["data"]["says"] == "Day 29: in the window, up to day 42."


@pytest.mark.parametrize(
    ("days", "version"),
    [
        (["--first", "2020-06-01"], 1),
        (["--first", "2021-06-01"], 1),
        (["--first", "2021-12-02", "--given", "2021-12-03"], 2),
        (["--first", "2021-11-01", "--given", "2021-12-02"], 1),
        (["--first", "2021-11-01", "--given", "2021-12-02", "--on", "2021-12-03"], 2),
    ],
    ids=["before any version", "by the first dose", "by the second", "day before", "by --on"],
)
def test_without_a_protocol_the_published_version_of_the_day_asked_about_counts(
    capsys, days, version
):
    assert _ask(capsys, "when", *days)[1]["protocol"]["version"] == version


@pytest.mark.parametrize(
    ("words", "said"),
    [
        (["--first", "2026-02-03", "--given", "2026-02-02"], "2026-02-02, is before the first"),
        (["--first", "3 Feb"], "not a date: '3 Feb'"),
        (["--first", "2026-02-30"], "not a date: '2026-02-30'"),
        (["--first", "9999-12-30"], "9999-12-30"),
    ],
    ids=["wrong order", "not ISO", "no such day", "end of the calendar"],
)
def test_dates_that_cannot_be_are_refused_by_their_value(capsys, words, said):
    code, answer = _ask(capsys, "when", *words)

    assert code == 3
    assert said in answer["error"]["says"]


def test_people_read_one_sentence(capsys):
    main(["second", "when", "--first", "2026-02-03", "--on", "2026-03-02"])

    assert capsys.readouterr().out.startswith("Day 27: not yet, 1 more. From 2026-03-03 (day")


def test_everybody_due_on_a_day_is_listed_with_since_when(capsys, home):
    code, answer = _ask(capsys, "due", "--on", "2026-03-03", "--home", home)

    assert code == 0
    assert answer["data"]["on"] == "2026-03-03"
    assert answer["data"]["due"] == [
        {
            "person": "DEMO-000001",
            "standing": "due-today",
            "first": "2026-02-03",
            "days": 28,
            "due": "2026-03-03",
            "late_after": "2026-03-17",
            "repeats": False,
            "booked": None,
        }
    ]


def test_the_list_is_a_table_for_people_and_rows_for_spreadsheets(capsys, home):
    main(["second", "due", "--on", "2026-03-19", "--home", home])
    shown = capsys.readouterr().out.splitlines()
    main(["second", "due", "--on", "2026-03-19", "--home", home, "--csv"])
    rows = capsys.readouterr().out.splitlines()

    assert shown[0].split() == rows[0].split(",")
    assert shown[1].split()[:2] == ["DEMO-000001", "late"]
    assert shown[-1] == "2 people due on 2026-03-19."
    assert rows[2] == "DEMO-000002,late,2026-02-04,43,2026-03-04,2026-03-18,False,"


def test_a_day_on_which_nobody_is_due_says_so(capsys, home):
    main(["second", "due", "--on", "2026-03-02", "--home", home])

    assert capsys.readouterr().out == "Nobody's second dose is due on 2026-03-02.\n"


def test_people_whose_card_has_no_readable_date_are_named_and_not_guessed():
    two = DueList((), ("DEMO-000007", "DEMO-000008"))

    (check,) = undated_findings(two)

    assert check.level is Level.CHECK
    assert check.says == (
        "2 people with a dose whose date cannot be read: DEMO-000007, DEMO-000008. "
        "Type it from the card."
    )
