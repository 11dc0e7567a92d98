"""
Two open series of temperatures, read from a file as a user would: rows L1, L3, L5, L6, L7.

Sea surface temperature every 30 minutes, from the Python package bokeh_sampledata (NERACOOS;
free to use and redistribute), and hourly air temperature of Seattle in °F, from the package
vega_datasets. Counted values: project's cold-chain check values, section 7.2 and table 9, read
there on 2026-11-27. Tolerance: none for counts, half the last printed digit for temperatures.
"""

import gzip
import json
from importlib.resources import files

import pytest

from thawline.cli import main

SEA = files("bokeh_sampledata") / "_data" / "sea_surface_temperature.csv.gz"
SEATTLE = files("vega_datasets") / "_data" / "seattle-temps.csv"
FRIDGE = ["--band", "fridge", "--json"]
ROWS_OF_30_DAYS = 1440


@pytest.fixture(scope="module")
def sea(tmp_path_factory):
    path = tmp_path_factory.mktemp("sea") / "sea.csv"
    path.write_bytes(gzip.decompress(SEA.read_bytes()))
    return path


@pytest.fixture
def told(capsys):
    """A runner of `cold read`: the exit code and the object of --json."""

    def run(path, *options):
        code = main(["cold", "read", str(path), *options, *FRIDGE])
        return code, json.loads(capsys.readouterr().out)

    return run


def test_l1_the_sea_series_lacks_24_readings_in_two_gaps(told, sea):
    _, answer = told(sea)
    data = answer["data"]

    assert (data["readings"], data["interval_min"], data["unit"]) == (19_226, 30, "C")
    assert [(gap["to"], gap["missing"]) for gap in data["gaps"]] == [
        ("2016-06-14T14:00:00+00:00", 1),
        ("2016-07-08T13:30:00+00:00", 23),
    ]
    assert (data["min_c"], data["max_c"]) == (3.612, 22.15)


def test_l1_the_sea_series_has_one_time_with_two_values(told, sea):
    _, answer = told(sea)

    assert answer["data"]["duplicates"] == [
        {"at": "2017-03-21T16:30:00+00:00", "kind": "conflicting", "values": [4.276, 4.289]}
    ]


def test_l3_the_first_thirty_days_look_like_a_good_refrigerator(told, sea, tmp_path):
    month = tmp_path / "month.csv"
    lines = sea.read_text().splitlines(keepends=True)
    month.write_text("".join(lines[: 1 + ROWS_OF_30_DAYS]))

    code, answer = told(month)
    data = answer["data"]

    assert (code, data["verdict"], data["excursions"]) == (0, "in-range", [])
    assert (data["last"], data["readings"]) == ("2016-03-15T23:30:00+00:00", 1440)
    assert (data["min_c"], data["max_c"]) == (4.055, 5.87)
    assert data["mean_c"] == pytest.approx(4.67988, abs=0.000005)
    assert data["mkt_c"] == pytest.approx(4.68417, abs=0.000005)


def test_l5_readings_of_exactly_eight_degrees_are_in_range(told, sea):
    _, answer = told(sea)
    out = sum(each["readings"] for each in answer["data"]["excursions"])

    # 19 225 instants, none below 2 °C, 8525 in the band with the five of exactly 8.000 °C.
    assert out == 10_700
    assert 19_225 - out == 8_525


def test_the_first_excursion_of_the_sea_series_is_half_past_nine(told, sea):
    _, answer = told(sea)
    first = answer["data"]["excursions"][0]

    assert (first["from"], first["to"], first["readings"], first["extreme_c"]) == (
        "2016-04-23T09:30:00+00:00",
        "2016-04-23T14:30:00+00:00",
        11,
        8.13,
    )


def test_an_alarm_is_no_excursion_eleven_of_them_came_before_the_first(told, sea):
    # WHO device rule "above 8 °C for more than 10 h": the run of 199 readings from 14:00 on
    # passes 10 h with the reading at 00:30; 11 earlier runs above 8 °C stay silent.
    _, answer = told(sea)
    data = answer["data"]
    (alarm,) = [each for each in data["device_alarms"] if each["name"] == "refrigerator_hot"]
    starts = [each["from"] for each in data["excursions"] if each["from"] < alarm["at"]]

    assert alarm["at"] == "2016-05-12T00:30:00+00:00"
    assert (starts[-1], len(starts)) == ("2016-05-11T14:00:00+00:00", 12)
    assert data["excursions"][11]["readings"] == 199


def test_the_whole_sea_series_has_the_counted_means(told, sea):
    _, answer = told(sea)

    assert answer["data"]["mean_c"] == pytest.approx(10.589705, abs=0.000005)
    assert answer["data"]["mkt_c"] == pytest.approx(12.301829, abs=0.000005)


def test_l6_the_hours_of_the_clock_change_are_reported_and_not_placed(told):
    _, answer = told(SEATTLE, "--unit", "F", "--zone", "America/Los_Angeles")
    left = [(each["text"], each["why"][:22]) for each in answer["data"]["not_read"]]

    assert left == [
        ("2010-03-14T02:00:00", "a local time that the "),
        ("2010-11-07T01:00:00", "a local time that come"),
    ]
    assert {"skipped-hour", "repeated-hour"} <= {each["code"] for each in answer["alerts"]}


def test_l7_seattle_in_fahrenheit_is_no_refrigerator_in_celsius(told):
    code, answer = told(SEATTLE, "--unit", "C", "--zone", "America/Los_Angeles")

    assert (code, answer["error"]["code"]) == (3, "probably-fahrenheit")
    assert "probably °F" in answer["error"]["says"]


def test_seattle_without_a_unit_is_asked_about(told):
    code, answer = told(SEATTLE, "--zone", "America/Los_Angeles")

    assert code == 3
    assert "--unit C or --unit F" in answer["error"]["try"]
