"""`thawline cold graph` and `cold warming`: what is printed, written and answered."""

import json
from datetime import UTC, datetime, timedelta
from xml.etree import ElementTree as ET

import pytest

from thawline.cli import main

BEGINS = datetime(2026, 2, 2, 6, tzinfo=UTC)  # midnight at six hours behind UTC
ZONE = ["--zone", "Etc/GMT+6"]


def _file(folder, degrees, name="fridge-2.csv", every=5, missing=()):
    times = [BEGINS + timedelta(minutes=every * n) for n in range(len(degrees))]
    rows = [
        f"{at:%Y-%m-%dT%H:%M:%SZ},{temp}"
        for n, (at, temp) in enumerate(zip(times, degrees, strict=True))
        if n not in missing
    ]
    path = folder / name
    path.write_text("\n".join(["time,temperature (°C)", *rows, ""]))
    return str(path)


def _ask(capsys, *words):
    code = main(["cold", *words, *ZONE, "--json"])
    return code, json.loads(capsys.readouterr().out)


@pytest.fixture
def warm(tmp_path):
    """Two hours at 5 degrees, three readings missing, then half an hour at 9."""
    return _file(tmp_path, [5.0] * 24 + [0] * 3 + [9.0] * 7, missing=range(24, 27))


def test_the_picture_is_printed_and_written(warm, tmp_path, capsys):
    svg = tmp_path / "out.svg"
    code = main(["cold", "graph", warm, "--band", "fridge", *ZONE, "--svg", str(svg)])
    out = capsys.readouterr().out

    assert code == 1  # something was found
    assert "Above 8 °C, seen for 30 min." in out
    assert ET.parse(svg).getroot().get("role") == "img"  # noqa: S314  our own file


def test_what_it_shows_is_answered_as_json(warm, capsys):
    code, answer = _ask(capsys, "graph", warm, "--band", "fridge")
    data = answer["data"]

    assert code == 1
    assert data["gaps"] == [
        {"from": "2026-02-02T01:55:00-06:00", "to": "2026-02-02T02:15:00-06:00"}
    ]
    assert data["outside"] == [
        {
            "side": "above",
            "from": "2026-02-02T02:15:00-06:00",
            "to": "2026-02-02T02:45:00-06:00",
        }
    ]
    assert "at least 30 min, at most 50 min" in data["says"][0]
    assert answer["not_known"] == ["gaps"]


def test_only_the_time_that_was_asked_for_is_drawn(warm, capsys):
    asked = ["--band", "fridge", "--since", "00:30", "--until", "01:30"]
    code, answer = _ask(capsys, "graph", warm, *asked)

    assert code == 0
    assert answer["data"]["readings"] == 13
    assert answer["data"]["outside"] == []


def test_a_file_is_drawn_with_what_was_said_of_its_layout(tmp_path, capsys):
    path = tmp_path / "ambiguous.csv"
    path.write_text("time,temp\n01/02/2026 08:00,41\n01/02/2026 08:30,42\n")
    asked = ["--band", "fridge", "--degrees", "F", "--date-order", "dmy"]

    code, answer = _ask(capsys, "graph", str(path), *asked, "--interval", "10")

    assert (code, answer["data"]["from"]) == (1, "2026-02-01T08:00:00-06:00")
    assert answer["data"]["gaps"] == [
        {"from": "2026-02-01T08:00:00-06:00", "to": "2026-02-01T08:30:00-06:00"}
    ]


def test_a_stated_interval_longer_than_the_usual_one_hides_no_gap_in_a_picture(
    tmp_path, capsys
):
    path = tmp_path / "fridge.csv"
    rows = [f"2026-02-02 00:{minute:02},5.0" for minute in range(0, 60, 5) if minute != 30]
    path.write_text("\n".join(["Logging interval: 15 min", "time,temp °C", *rows, ""]))

    _, answer = _ask(capsys, "graph", str(path), "--band", "fridge")

    assert [gap["from"][11:16] for gap in answer["data"]["gaps"]] == ["00:25"]


def test_a_file_without_a_time_that_is_known_is_no_picture(tmp_path, capsys):
    path = tmp_path / "fridge.csv"
    path.write_text("time,temp °C\n2026-03-08 02:30,5.0\n2026-03-08 02:35,5.0\n")

    asked = ["--band", "fridge", "--zone", "America/Chicago"]
    code = main(["cold", "graph", str(path), *asked])

    assert code == 3
    assert "no temperature with a time that is known" in capsys.readouterr().err


def test_lines_that_gave_no_reading_are_said_beside_the_picture(tmp_path, capsys):
    path = tmp_path / "fridge.csv"
    rows = ["2026-02-02 00:00,5.0", "2026-02-02 00:05,--", "2026-02-32 00:10,25.0"]
    path.write_text("\n".join(["time,temp °C", *rows, "2026-02-02 00:15,5.0", ""]))

    _, answer = _ask(capsys, "graph", str(path), "--band", "fridge")

    (says,) = [each["says"] for each in answer["alerts"] if each["code"] == "not-read"]
    assert says.startswith("2 lines gave no reading, 1 temperature without a time among them")


def test_a_time_without_readings_is_said(warm, capsys):
    code, answer = _ask(capsys, "graph", warm, "--band", "fridge", "--since", "05:00")

    assert code == 3
    assert answer["error"]["says"] == "no reading between those times"


@pytest.mark.parametrize(
    ("words", "code", "says"),
    [
        ([], 2, "a file or a unit?"),
        (["FILE"], 2, "which band is it held against?"),
        (["FILE", "--band", "oven"], 3, "no band 'oven' in the protocol"),
        (["FILE", "--band", "8..2"], 3, "a band that is the wrong way round: 8..2"),
        (["FILE", "--band", "fridge", "--svg", "page.png"], 3, "not a name for a picture"),
        (["no-such.csv", "--band", "fridge"], 5, "cannot read 'no-such.csv'"),
    ],
)
def test_what_is_missing_or_wrong_is_named(words, code, says, warm, capsys):
    asked = [warm if word == "FILE" else word for word in words]
    found, answer = _ask(capsys, "graph", *asked)

    assert found == code
    assert says in answer["error"]["says"]


def test_a_picture_that_cannot_be_written_leaves_nothing_behind(warm, tmp_path, capsys):
    there = tmp_path / "folder.svg"
    there.mkdir()
    code, _ = _ask(capsys, "graph", warm, "--band", "fridge", "--svg", str(there))

    assert code == 3
    assert not list(tmp_path.glob("*.part"))


def test_a_file_in_fahrenheit_is_held_against_degrees_celsius(tmp_path, capsys):
    path = tmp_path / "f.csv"
    path.write_text("time,temperature (°F)\n2026-02-02T06:00:00Z,41\n2026-02-02T06:05:00Z,41\n")
    code, answer = _ask(capsys, "graph", str(path), "--band", "fridge")

    assert code == 0
    assert "Lowest seen 5 °C, highest 5 °C." in answer["data"]["says"][0]  # 41 °F is 5 °C


# Ten hours of tau, a room of 20 degrees, minus 20 at first: at minus 15 after
# 600 ln(40 / 35) = 80.1 minutes, so at 01:20 (Newton's law of cooling, by hand).
FREEZER = [
    *("-20.00", "-19.67", "-19.34", "-19.01", "-18.69", "-18.37"),
    *("-18.05", "-17.73", "-17.42", "-17.11", "-16.80", "-16.50"),
]


@pytest.fixture
def failing(tmp_path):
    """A freezer that warms from midnight on, read each five minutes until 00:55."""
    return _file(tmp_path, FREEZER, "freezer-1.csv")


def test_a_warming_freezer_is_inspected_by_the_early_end_of_a_range(failing, capsys):
    code, answer = _ask(
        capsys, "warming", failing, "--band", "frozen", "--accuracy-c", "0", "--ambient-c", "20"
    )
    data = answer["data"]

    assert code == 1
    assert data["verdict"] == "warming"
    assert "01:14" <= data["inspect_by"][11:16] <= "01:20"
    assert "01:20" <= data["latest"][11:16] <= "01:24"
    assert data["share"] == 0.95


def test_the_answer_in_words_is_a_range_with_its_share(failing, capsys):
    main(["cold", "warming", failing, "--band", "frozen", "--ambient-c", "20", *ZONE])
    out = capsys.readouterr().out

    assert "|| Act: the unit is warming: inspect by " in out
    assert "is at minus 15 °C between " in out
    assert "19 of 20 such ranges hold the true" in " ".join(out.split())


def test_the_logger_s_accuracy_makes_inspect_by_earlier(failing, capsys):
    asked = ["warming", failing, "--band", "frozen", "--ambient-c", "20", "--accuracy-c"]
    exact = _ask(capsys, *asked, "0")[1]["data"]["inspect_by"]
    rough = _ask(capsys, *asked, "0.5")[1]["data"]["inspect_by"]

    assert rough < exact


def test_the_hold_over_is_counted_from_the_cut(failing, capsys):
    main(["cold", "warming", failing, "--band", "frozen", "--cut", "00:00", *ZONE])
    out = capsys.readouterr().out

    assert "Hold-over, counted from the cut: at least 1 h " in out


def test_no_reading_since_the_cut_says_what_to_look_at(failing, capsys):
    code, answer = _ask(capsys, "warming", failing, "--band", "frozen", "--cut", "03:00")

    assert code == 3
    assert "doors shut" in answer["error"]["try"]


def test_too_few_readings_are_said_to_be_too_few(tmp_path, capsys):
    path = _file(tmp_path, FREEZER[:3])
    code, answer = _ask(capsys, "warming", path, "--band", "frozen")

    assert code == 0
    assert answer["data"]["verdict"] == "too-little"
    assert answer["data"]["share"] is None
    assert answer["not_known"] == ["latest"]


def test_a_unit_out_of_band_is_held_with_all_its_words(tmp_path, capsys):
    path = _file(tmp_path, [7, 7.5, 8, 8.5, 9])
    code, answer = _ask(capsys, "warming", path, "--band", "fridge")

    assert code == 1
    assert answer["data"]["out_after"] == "2026-02-02T00:10:00-06:00"
    says = answer["alerts"][0]["says"]
    for word in ("held", "do not use", "do not discard", "keep cold and apart", "call"):
        assert word in says


def test_a_steady_refrigerator_has_nothing_to_answer(tmp_path, capsys):
    code, answer = _ask(capsys, "warming", _file(tmp_path, [5, 5.1] * 8), "--band", "fridge")

    assert code == 0
    assert answer["data"]["verdict"] == "steady"
