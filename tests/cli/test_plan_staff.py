"""`thawline plan staff`: what is printed, answered and refused."""

import json

import pytest

from thawline.cli import main

SAID = {"--booked": "48", "--no-show": "0.1", "--hours": "2", "--days": "40"}


def day(**others):
    """Return the words of a small day, some of them said otherwise."""
    said = SAID | {f"--{name.replace('_', '-')}": value for name, value in others.items()}
    return ("plan", "staff", *(word for pair in said.items() for word in pair))


DAY = day()


@pytest.fixture
def ask(capsys):
    def asked(*words):
        capsys.readouterr()
        code = main([*words, "--json"])
        return code, json.loads(capsys.readouterr().out)

    return asked


def test_the_plan_names_seed_days_and_the_source_of_its_times(ask):
    code, answer = ask(*DAY)
    data = answer["data"]

    assert (code, data["keeps"], data["seed"], data["days"]) == (0, True, 28, 40)
    assert data["worst_half_hour_late_share"] <= 0.1
    assert data["chairs"] >= 1
    assert "common practice" in data["times"]
    assert "not measured" in data["times"]


def test_the_page_has_each_half_hour_and_the_shifts(capsys):
    assert main(list(DAY)) == 0
    out = " ".join(capsys.readouterr().out.split())

    assert "90% wait less than 20 min, at all stations together, in every half hour." in out
    assert "desk: 1 from 0 h 00 to" in out
    assert "seed 28" in out


@pytest.mark.parametrize(
    ("words", "says"),
    [
        ({"no_show": "1"}, "a no-show of 100%"),
        ({"hours": "0"}, "48 people in 0 h"),
        ({"share": "1"}, "a promise to 1"),
        ({"days": "1"}, "1 days"),
        ({"within_min": "0"}, "a wait of 0 min"),
    ],
)
def test_what_cannot_be_is_named(ask, words, says):
    code, answer = ask(*day(**words))

    assert code == 3
    assert says in answer["error"]["says"]


def test_a_file_of_stations_is_read_and_a_figure_without_source_is_refused(ask, tmp_path):
    path = tmp_path / "stations.toml"
    path.write_text('[[station]]\nname = "desk"\ntakes_s = 60\nvaries = 0.5\n')
    code, answer = ask(*DAY, "--stations", str(path))

    assert code == 3
    assert "[observation]" in answer["error"]["says"]


def test_a_file_that_is_not_there_is_said(ask, tmp_path):
    code, answer = ask(*DAY, "--stations", str(tmp_path / "none.toml"))

    assert code == 5
    assert "none.toml" in answer["error"]["says"]
