"""
A long logger file is folded while it is read: the same answer as of a file in memory.

The small files of other tests are taken for long ones here. All invented.
"""

import json

import pytest
from tests.exchange.loggers.reading import FILES

from thawline.adapters import logger_blocks, long_files
from thawline.cli import main

NOT_ASKED = ("device_alarms", "reports")
ASKED = ["--zone", "America/Chicago", "--unit", "C", "--band", "fridge", "--json"]


@pytest.fixture
def asked(capsys):
    """A question about a file, answered with the whole object of --json."""

    def ask(path, *words):
        capsys.readouterr()
        main(["cold", "read", str(path), *(words or ASKED)])
        return json.loads(capsys.readouterr().out)

    return ask


@pytest.fixture
def long(monkeypatch):
    """Every file is a long one."""
    monkeypatch.setattr(long_files, "LONG_FROM", 0)


def told(answer):
    """Return what both ways of reading tell."""
    data = {k: v for k, v in (answer["data"] or {}).items() if k not in NOT_ASKED}
    alerts = [each for each in answer["alerts"] if each["code"] not in ("not-asked", "report")]
    return data | {"out_of_order": []}, alerts, answer.get("error", {}).get("code")


@pytest.mark.parametrize("name", sorted(path.name for path in FILES.iterdir()))
def test_a_long_file_says_what_a_short_one_says(name, asked, monkeypatch):
    whole = asked(FILES / name)
    monkeypatch.setattr(long_files, "LONG_FROM", 0)

    assert told(asked(FILES / name)) == told(whole)


def minutes(temps, start=0):
    """Return lines of one reading a minute from the first of February on."""
    return [
        f"2026-02-{1 + n // 1440:02} {n // 60 % 24:02}:{n % 60:02},{temp}"
        for n, temp in enumerate(temps, start)
    ]


def saved(tmp_path, lines, head="time,temp °C"):
    path = tmp_path / "fridge-1.csv"
    path.write_text("\n".join([head, *lines, ""]), encoding="utf-8")
    return path


@pytest.mark.usefixtures("long")
def test_very_many_excursions_are_cut_off_and_every_one_is_counted(tmp_path, asked):
    temps = [5.0, 9.0, 5.0, 5.0] * 1_500
    temps[-3] = 11.5

    answer = asked(saved(tmp_path, minutes(temps)))

    assert len(answer["data"]["excursions"]) < 1_500 == answer["data"]["excursions_count"]
    (stop,) = [each for each in answer["alerts"] if each["level"] == "stop"]
    assert "more than" in stop["says"]
    assert "warmest 11.5 °C" in stop["says"]


@pytest.mark.usefixtures("long")
def test_what_is_not_asked_of_a_long_file_is_said(tmp_path, asked):
    answer = asked(saved(tmp_path, minutes([5.0] * 50 + [9.0] * 50 + [5.0] * 50)))

    assert answer["data"]["device_alarms"] is answer["data"]["reports"] is None
    assert answer["not_known"] == ["device_alarms", "reports"]
    assert "not-asked" in [each["code"] for each in answer["alerts"]]


@pytest.mark.usefixtures("long")
def test_degrees_fahrenheit_read_as_celsius_are_refused_in_a_long_file_too(tmp_path, asked):
    answer = asked(saved(tmp_path, minutes([41.0, 40.5, 41.5] * 40), "time,temp"))

    assert answer["error"]["code"] == "probably-fahrenheit"


@pytest.mark.usefixtures("long")
def test_the_rules_are_those_of_the_latest_reading_wherever_it_stands(tmp_path, asked):
    backwards = list(reversed(minutes([5.0] * 90)))

    answer = asked(saved(tmp_path, backwards))

    assert (answer["data"]["verdict"], answer["data"]["out_of_order_count"]) == ("in-range", 89)
    assert answer["data"]["last"].startswith("2026-02-01T01:29")


@pytest.mark.usefixtures("long")
def test_a_stated_interval_longer_than_the_usual_one_hides_no_gap(tmp_path, asked):
    lines = [*minutes([5.0] * 60), *minutes([5.0] * 60, start=65)]
    path = saved(tmp_path, lines, "Logging interval: 10 min\ntime,temp °C")

    answer = asked(path)

    assert answer["data"]["interval_min"] == 1
    assert [gap["missing"] for gap in answer["data"]["gaps"]] == [5]


def test_a_long_file_whose_lines_change_their_form_is_read_line_by_line(
    tmp_path, asked, monkeypatch
):
    same = minutes([5.0] * 30_000)
    other = [f'{line[:16]} , "{line[17:]}"' for line in minutes([5.0] * 9_000)]
    path = saved(tmp_path, [*same, *(line.replace("2026-02", "2027-03") for line in other)])
    whole = asked(path)
    monkeypatch.setattr(long_files, "LONG_FROM", 0)

    assert asked(path)["data"]["readings"] == whole["data"]["readings"]


@pytest.mark.usefixtures("long")
def test_a_local_hour_that_comes_twice_is_never_in_range_in_a_long_file(tmp_path, asked):
    # The clocks of the zone go back on 1 November 2026 (time zone database).
    day = [f"{n // 60:02}:{n % 60:02}" for n in range(0, 1440, 5)]
    twice = [*day[:24], *day[12:]]
    lines = [f"2026-10-31 {at},5.0" for at in day] + [f"2026-11-01 {at},5.0" for at in twice]

    answer = asked(saved(tmp_path, lines))

    assert answer["data"]["verdict"] == "not-known"
    assert {each["code"] for each in answer["alerts"]} >= {"repeated-hour", "no-time"}


def test_what_a_bulk_of_lines_hides_is_read_line_by_line_in_a_long_file(
    tmp_path, asked, monkeypatch
):
    monkeypatch.setattr(logger_blocks, "BLOCK", 1_024)
    lines = minutes([5.0] * 600)
    lines[300] = f"{lines[300]}\r{minutes([9.0], start=2_000)[0]}"
    path = saved(tmp_path, lines, "Read out by: Hazel\rtime,temp °C")
    whole = asked(path)
    monkeypatch.setattr(long_files, "LONG_FROM", 0)

    assert told(asked(path)) == told(whole)
    assert whole["data"]["verdict"] == "excursion"
    assert whole["data"]["readings"] == 601
