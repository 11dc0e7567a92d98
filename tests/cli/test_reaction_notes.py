"""`thawline reaction note | report | count` and an error that is recorded, by command."""

import json
from pathlib import Path

import pytest
from tests.cli.clinic import Clinic

from thawline.adapters.sites import SETTINGS
from thawline.cli import main

WHO, BY = "DEMO-000001", ["--by", "Sorrel Kettlewick"]
TO = '\n[[reports]]\nwhat = "serious"\nto = "Upper Velleny Health Unit"\nwithin_h = 24\n'
RATE = ["--rate", "1/100", "--definition", "any", "--source", "made up"]


@pytest.fixture
def clinic(tmp_path, capsys, monkeypatch):
    site = Clinic(tmp_path, capsys, monkeypatch)
    site.run("site", "new", "harrowmint", "--zone", "America/Chicago")
    site.run("protocol", "adopt", "example-10-v2", *BY, "--at", "2026-02-02T08:00:00-06:00")
    words = ["vial", "receive", "ZZ-1041", "2026-08", "12", "--listed", "12", "--temp-c=-21.5"]
    site.run(*words, *BY, "--at", "01:00")
    given = ["dose", "give", "--person", WHO, "--vial", site.opened(), "--arm", "left"]
    site.run(*given, *BY, "--at", "10:00")
    return site


def _configure(clinic, more):
    (path,) = Path(clinic.home).rglob(SETTINGS)
    path.write_text(path.read_text() + more)


def _noted(clinic, *words, what="anaphylaxis"):
    return clinic.ask("reaction", "note", WHO, what, "--began", "10:04", *words, *BY)


def test_anaphylaxis_is_serious_and_whom_to_tell_is_not_guessed(clinic):
    code, answer = _noted(clinic)
    data = answer["data"]

    assert (code, data["serious"], data["expected"], data["reported"]) == (1, True, False, True)
    assert data["to"] is None
    assert {"to", "within_h"} <= set(answer["not_known"])
    assert "no [[reports]]" in answer["alerts"][-1]["says"]


def test_who_is_told_and_by_when_is_the_sites_own(clinic):
    _configure(clinic, TO)
    _, answer = _noted(clinic)

    assert (answer["data"]["to"], answer["data"]["within_h"]) == (
        "Upper Velleny Health Unit",
        24,
    )


def test_fever_is_expected_and_nothing_must_be_reported(clinic):
    code, answer = _noted(clinic, what="fever")

    assert (code, answer["data"]["expected"], answer["data"]["reported"]) == (0, True, False)


@pytest.mark.parametrize(
    ("words", "code"),
    [
        ([WHO, "hiccups"], 5),
        ([WHO, "fever", "--serious", "very"], 3),
        ([WHO, "fever", "--began", "09:00"], 3),
    ],
)
def test_a_note_that_cannot_be_names_what_can(clinic, words, code):
    found, answer = clinic.ask("reaction", "note", *words, *BY)

    assert found == code
    assert answer["error"]["try"]


def test_a_draft_has_the_code_and_no_name_and_says_that_it_was_sent_to_nobody(clinic):
    _configure(clinic, TO)
    note = _noted(clinic)[1]["data"]["note"]
    _, out, _ = clinic.run("reaction", "report", note)

    assert "DRAFT, not sent to anybody" in out
    assert "after the dose: 4 min" in out
    assert "within 24 h, set by this site" in out
    assert "lot: ZZ-1041" in out
    assert "name:" not in out


def test_a_name_is_on_the_draft_only_when_it_is_asked_for(clinic):
    note = _noted(clinic)[1]["data"]["note"]
    _, out, _ = clinic.run("reaction", "report", note, "--named")

    assert "name:" not in out  # nobody of that code is in the list of names
    assert WHO in out


def test_the_list_says_who_was_told(clinic):
    note = _noted(clinic)[1]["data"]["note"]
    clinic.run("reaction", "report", note, "--told", "health unit", *BY)
    _, answer = clinic.ask("reaction", "report")

    assert [each["told"] for each in answer["data"]["notes"]] == [["health unit"]]
    assert clinic.ask("reaction", "report", note, *BY)[0] == 2  # a draft is nobody's act


def test_a_count_is_held_against_a_rate_that_somebody_named(clinic):
    _noted(clinic)
    code, answer = clinic.ask("reaction", "count", "anaphylaxis", "--rate", "watched")
    (row,) = answer["data"]["groups"]

    assert (code, row["seen"], row["doses"]) == (1, 1, 1)  # one of one is more than chance
    assert row["expected"] == pytest.approx(16 / 64_900)
    assert answer["data"]["rate"]["source"].startswith("Blumenthal")


@pytest.mark.parametrize(
    ("words", "code", "says"),
    [
        (["anaphylaxis"], 2, "no rate is named"),
        (["faint", "--rate", "1/100"], 2, "calls a case"),
        (["faint", "--rate", "0/100", "--definition", "x", "--source", "x"], 3, "0/100"),
        (["faint", "--lot", "ZZ-9999", *RATE], 5, "nobody had a dose of lot ZZ-9999"),
        (["faint", "--by", "weather", *RATE], 3, "not a grouping"),
    ],
)
def test_a_count_against_nothing_is_refused(clinic, words, code, says):
    found, answer = clinic.ask("reaction", "count", *words)

    assert found == code
    assert says in answer["error"]["says"]


def test_a_count_for_others_hides_what_is_small(clinic):
    _noted(clinic)
    _, answer = clinic.ask("reaction", "count", "anaphylaxis", *RATE, "--share")
    (row,) = answer["data"]["groups"]

    assert (row["seen"], row["expected"]) == (None, None)
    assert "would name a person" in row["says"]
    assert answer["not_known"] == ["harrowmint"]


def test_the_picture_is_written_as_a_page(clinic, tmp_path):
    file = tmp_path / "faints.svg"
    _, out, _ = clinic.run("reaction", "count", "faint", *RATE, "--svg", str(file))

    assert "0 of 0.01" in out
    assert file.read_text().startswith("<svg")


@pytest.mark.parametrize(
    ("more", "says"),
    [
        ('\n[[reports]]\nwhat = "all"\nto = "x"\n', "[[reports]]"),
        ('\n[[reports]]\nwhat = "serious"\nto = "x"\nwithin_h = 0\n', "within_h = 0"),
        ('\n[[reports]]\nwhat = 3\nto = "x"\n', "[[reports]]"),
    ],
)
def test_a_wrong_row_of_reports_is_named_and_nothing_is_recorded(clinic, more, says):
    before = len(clinic.ask("journal", "list")[1]["data"]["entries"])
    _configure(clinic, more)
    code, answer = _noted(clinic)

    assert code == 3
    assert says in answer["error"]["says"]
    assert len(clinic.ask("journal", "list")[1]["data"]["entries"]) == before


def test_a_site_that_is_named_twice_is_counted_once(clinic):
    _noted(clinic)
    twice = ["--site", "harrowmint", "--site", "harrowmint"]
    _, answer = clinic.ask("reaction", "count", "anaphylaxis", *RATE, *twice)

    assert [row["doses"] for row in answer["data"]["groups"]] == [1]


def test_the_smallest_count_shared_must_be_a_count(clinic):
    _configure(clinic, "\n[sharing]\nsmallest = 0\n")
    code, answer = clinic.ask("reaction", "count", "faint", *RATE)

    assert code == 3
    assert "smallest is 0" in answer["error"]["says"]


def test_an_error_is_recorded_with_a_person_and_only_shown_without(clinic):
    words = ["dose", "error", "wrong-site", "--given", "2026-02-03"]
    shown = clinic.ask(*words)[1]["data"]
    code, answer = clinic.ask(*words, "--person", WHO, *BY)
    _, listed, _ = clinic.run("reaction", "report")

    assert "recorded" not in shown
    assert (code, answer["data"]["event"]) == (1, "ErrorNoted")
    assert "error: wrong-site" in listed
    assert clinic.ask(*words, "--person", WHO, "--protocol", "published-2022", *BY)[0] == 2


def test_counting_before_the_first_dose_is_said(tmp_path, capsys):
    main(["site", "new", "hut", "--zone", "America/Chicago", "--home", str(tmp_path)])
    capsys.readouterr()
    words = ["reaction", "count", "faint", *RATE, "--home", str(tmp_path), "--json"]

    assert main(words) == 5
    assert "no dose is recorded yet" in json.loads(capsys.readouterr().out)["error"]["says"]
