"""`thawline plan cover`: the call at 06:30, as it is answered and printed; invented people."""

import json
from pathlib import Path

import pytest

from thawline.cli import main

TEAM = """
day = 2026-02-03

[[team]]
name = "Rowan Thistle"
signed_off = ["screener"]
works = "screener"
from = "07:00"
to = "15:30"

[[team]]
name = "Hazel Quince"
signed_off = ["screener", "observer"]

[[team]]
name = "Sorrel Kettlewick"
signed_off = ["observer", "registrar"]
works = "observer"
from = "07:00"
to = "18:00"
"""


@pytest.fixture
def ask(capsys, tmp_path):
    home = str(tmp_path / "home")
    main(["site", "new", "harrowmint", "--zone", "America/Chicago", "--home", home])
    path = Path(home) / "sites" / "harrowmint" / "team.toml"
    path.write_text(TEAM)

    def asked(*words, at="2026-02-03T06:30:00-06:00", plain=False):
        capsys.readouterr()
        form = [] if plain else ["--json"]
        code = main(["plan", "cover", *words, "--at", at, "--home", home, *form])
        out = capsys.readouterr().out
        return code, out if plain else json.loads(out)

    asked.path = path
    return asked


def test_the_page_says_whom_to_call(ask):
    code, page = ask("rowan thistle", plain=True)

    assert code == 0
    assert "Rowan Thistle: screener, 07:00 to 15:30." in page
    assert "Call Hazel Quince: signed off as screener, free all that time." in page
    assert "somebody is there who can give epinephrine" in page
    assert "who was briefed on the newest protocol" in page


def test_without_anybody_it_says_what_closes_and_counts_as_found(ask):
    code, answer = ask("Rowan Thistle", "Hazel Quince")
    (post,) = answer["data"]["posts"]

    assert code == 1
    assert (post["cover"], post["fewest_there"]) == (None, 0)
    assert post["closed"] == [{"from": "07:00", "to": "15:30"}]
    assert [(a["level"], a["code"]) for a in answer["alerts"]] == [("act", "nobody-to-cover")]
    assert answer["not_known"] == ["briefed"]


def test_the_page_names_the_hours_that_close(ask):
    _, page = ask("Rowan Thistle", "Hazel Quince", plain=True)

    assert "Nobody else is signed off as screener and free all that time." in page
    assert "Closed 07:00 to 15:30: screening" in page
    assert "Hazel Quince: no work left that day, nothing to cover." in page


def test_an_observer_without_cover_stops_vaccinating_and_leaves_nobody_alone(ask):
    _, answer = ask("Sorrel Kettlewick", "Hazel Quince")

    assert "vaccinating" in answer["alerts"][0]["says"]
    assert "stays with those who sit there" in answer["alerts"][0]["says"]


def test_somebody_who_may_move_is_named_as_the_leads_decision(ask):
    more = '\n[[team]]\nname = "Elm Ash"\nsigned_off = ["observer", "screener"]\n'
    more += 'works = "observer"\nfrom = "07:00"\nto = "18:00"\n'
    ask.path.write_text(TEAM + more)

    _, page = ask("Rowan Thistle", "Hazel Quince", plain=True)

    assert "Signed off and at other work where others stay: Elm Ash." in page
    assert "if the site lead says so" in " ".join(page.split())


def test_work_without_sign_off_is_a_stop(ask):
    ask.path.write_text(TEAM.replace('["observer", "registrar"]', '["registrar"]'))

    code, answer = ask("Rowan Thistle")

    assert code == 1
    assert answer["alerts"][0]["level"] == "stop"
    assert "Sorrel Kettlewick is to work as observer" in answer["alerts"][0]["says"]


def test_others_who_are_free_are_named_too(ask):
    ask.path.write_text(TEAM + '\n[[team]]\nname = "Elm Ash"\nsigned_off = ["screener"]\n')

    _, page = ask("Rowan Thistle", plain=True)

    assert "Also signed off and free: Elm Ash." in page
    assert "Then at least 1 screener at any moment." in page


@pytest.mark.parametrize(
    ("words", "code", "says"),
    [
        ((), 3, "nobody is named"),
        (("Zed Nobody",), 5, "nobody is called 'Zed Nobody' in the team"),
        (("Rowan Thistle", "--team", "none.toml"), 5, "none.toml is not there"),
    ],
)
def test_what_cannot_be_asked_is_named(ask, words, code, says):
    found, answer = ask(*words)

    assert found == code
    assert says in answer["error"]["says"]


def test_the_team_of_another_day_is_refused(ask):
    code, answer = ask("Rowan Thistle", at="2026-02-04T06:30:00-06:00")

    assert code == 3
    assert "team.toml is of 2026-02-03, not of 2026-02-04" in answer["error"]["says"]
