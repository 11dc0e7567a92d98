"""What a logger file says of itself is taken with its evidence; what it does not is asked."""

from datetime import timedelta
from zoneinfo import ZoneInfo

import pytest
from tests.exchange.loggers.reading import CHICAGO, bytes_of, read

from thawline.base.errors import ExchangeError
from thawline.exchange.dates import DateOrder
from thawline.exchange.loggers.asked import Asked
from thawline.exchange.loggers.detect import layout_of
from thawline.exchange.loggers.layout import Unit

HEADER = "time,temp °C\n"
ROWS = "2026-02-03 08:00,5.0\n2026-02-03 08:05,5.2\n"


def _layout(text, **asked):
    return layout_of(text.encode(), Asked(**{"zone": CHICAGO, **asked}))


def _refusal(text, **asked):
    with pytest.raises(ExchangeError) as refused:
        _layout(text, **asked)
    return refused.value


def test_what_was_taken_is_said_in_words_with_where_it_stands():
    layout, _ = read(bytes_of("header-block.txt"))

    assert layout.read_as == (
        "day-month-year (line 12: 13.02.2026)",
        "°C (line 6: High limit: 8.0 °C)",
        "America/Chicago (the site's)",
        "24-hour times",
        "decimal comma",
        "semicolon",
        "UTF-8",
    )


@pytest.mark.parametrize(
    ("name", "words"),
    [
        (
            "over-midnight.csv",
            "day-month-year (lines 3 and 4: 01/02/2026 23:55 and 02/02/2026 00:00 follow each "
            "other)",
        ),
        ("day-over-twelve.csv", "day-month-year (line 3: 13/02/2026)"),
        (
            "form-stated.txt",
            "day-month-year (line 1: Start (DD/MM/YYYY HH:MM:SS) 03/02/2026 …)",
        ),
        ("months-in-words.csv", "months written out"),
        ("plain.csv", "year-month-day"),
    ],
)
def test_the_order_of_the_dates_is_said_with_its_evidence(name, words):
    layout, _ = read(bytes_of(name))

    assert layout.read_as[0] == words


def test_a_date_that_could_be_two_is_asked_for():
    refused = _refusal(HEADER + "03/02/2026 08:00,5.0\n03/02/2026 20:00,5.0\n")

    assert "'03/02/2026' could be 2026-02-03 (dmy) or 2026-03-02 (mdy)" in refused.says
    assert "--date-order" in refused.advice


def test_an_order_that_a_date_contradicts_is_refused_with_the_line():
    refused = _refusal(HEADER + "13/02/2026 08:00,5.0\n", date_order=DateOrder.MDY)

    assert "line 2: '13/02/2026' is no month-day-year date" in refused.says


def test_a_step_of_a_month_over_midnight_is_no_evidence():
    refused = _refusal(HEADER + "01/02/2026 23:55,5\n01/02/2026 23:59,5\n03/04/2026 00:00,5\n")

    assert "--date-order" in refused.advice


def test_a_file_without_a_unit_is_refused_with_the_reason():
    refused = _refusal("time,temp\n" + ROWS)

    assert refused.says == "no unit: nothing says whether temp is in °C or °F"
    assert "--unit C or --unit F" in refused.advice


def test_a_unit_that_contradicts_the_file_is_refused_with_both():
    refused = _refusal(HEADER + ROWS, unit=Unit.FAHRENHEIT)

    assert refused.says == "--unit F was given, but the file says °C (line 1: temp °C)"


@pytest.mark.parametrize(
    ("text", "lines"),
    [
        ("Unit: °F\n" + HEADER + ROWS, ("line 2", "line 1")),
        (HEADER + ROWS + "time,temp °F\n2026-02-03 08:10,41.0\n", ("line 1", "line 4")),
        ("Low 2 °C\nHigh 46 °F\ntime,temp\n" + ROWS, ("line 1", "line 2")),
        (
            "time,temp\n2026-02-03 08:00,5.0 °C\n2026-02-03 08:05,41.0 °F\n",
            ("line 2", "line 3"),
        ),
    ],
    ids=["column and header", "a second header", "limits only", "value by value"],
)
def test_two_units_in_one_file_are_refused_with_both_lines(text, lines):
    refused = _refusal(text)

    assert "two units in one file" in refused.says
    assert all(line in refused.says for line in lines)


def test_a_limit_in_both_units_says_nothing_about_the_readings():
    refused = _refusal("High limit: 8 °C (46 °F)\ntime,temp\n" + ROWS)

    assert refused.says.startswith("no unit")


def test_the_letter_of_a_third_probe_is_no_unit():
    refused = _refusal(
        "time,Temp A,Temp B,Temp C\n2026-02-03 08:00,5.0,5.1,5.2\n", probe="Temp C"
    )

    assert refused.says == "no unit: nothing says whether Temp C is in °C or °F"


def test_a_file_without_a_zone_is_refused_with_the_option():
    refused = _refusal(HEADER + ROWS, zone=None)

    assert refused.says == "no time zone: nothing says where the times are local"
    assert "--zone" in refused.advice


@pytest.mark.parametrize(
    "line",
    [
        "Downloaded 2026-02-03 09:00 UTC",
        "Time zone: (UTC-06:00) Central Time",
        "Time zone: CST",
        "Time zone: UTC-06:00\nDaylight saving: on",
        "UTC offset: as set",
    ],
    ids=["of one time", "of a region", "an abbreviation", "with summer time", "no number"],
)
def test_what_may_hold_for_half_the_year_is_no_zone(line):
    refused = _refusal(f"{line}\n{HEADER}{ROWS}", zone=None)

    assert refused.says.startswith("no time zone")


def test_a_zone_that_contradicts_the_file_is_refused_with_both():
    refused = _refusal("Time zone: America/Denver\n" + HEADER + ROWS)

    assert "--zone America/Chicago was given" in refused.says
    assert "America/Denver (line 1: Time zone: America/Denver)" in refused.says


def test_the_file_s_own_zone_stands_over_the_site_s():
    layout = _layout("Time zone: America/Denver\n" + HEADER + ROWS, zone_is="the site's")

    assert layout.time.zone == ZoneInfo("America/Denver")


def test_two_zones_are_refused_with_both_lines():
    refused = _refusal("Time zone: UTC\nTime zone: UTC+01:00\n" + HEADER + ROWS, zone=None)

    assert "line 1" in refused.says
    assert "line 2" in refused.says


def test_a_time_that_could_be_before_or_after_noon_is_asked_for():
    refused = _refusal(HEADER + "13/02/2026 9:00,5.0\n13/02/2026 10:00,5.0\n")

    assert "'9:00' could be before or after noon" in refused.says
    assert "--clock 24" in refused.advice


def test_twelve_hours_without_am_and_pm_are_not_taken_for_twenty_four():
    refused = _refusal(HEADER + "13/02/2026 12:30,5.0\n13/02/2026 01:00,5.0\n")

    assert "without AM or PM" in refused.says


@pytest.mark.parametrize(
    ("clock", "time", "says"),
    [
        ("24", "1:00 PM", "--clock 24 was given, but line 2"),
        ("12", "13:00", "no time in the file"),
    ],
)
def test_a_clock_that_contradicts_the_times_is_refused(clock, time, says):
    refused = _refusal(HEADER + f"13/02/2026 {time},5.0\n", clock=clock)

    assert says in refused.says


def test_hours_asked_for_as_twenty_four_are_taken():
    layout = _layout(HEADER + "13/02/2026 9:00,5.0\n", clock="24")

    assert not layout.time.twelve_hours


def test_several_probes_are_asked_for_by_name():
    with pytest.raises(ExchangeError) as refused:
        read(bytes_of("two-probes.csv"))

    assert refused.value.says == "several probes; there are: Top shelf, Bottom shelf"
    assert refused.value.advice == "say which, as in --probe 'Top shelf'"


def test_a_probe_that_is_not_there_is_refused_with_those_that_are():
    with pytest.raises(ExchangeError, match="no one probe called 'Door'"):
        read(bytes_of("two-probes.csv"), probe="Door")


def test_a_probe_can_be_named_by_its_column():
    _, record = read(bytes_of("two-probes.csv"), probe="3")

    assert record.probe.name == "Bottom shelf"


def test_several_times_are_asked_for():
    refused = _refusal(
        "started,ended,temp °C\n2026-02-03 08:00,2026-02-03 08:05,5.0\n", zone=CHICAGO
    )

    assert refused.says == "several columns of times: started, ended"
    assert refused.advice == "say which, as in --time-column 'started'"


def test_a_column_of_times_that_is_named_is_taken():
    layout = _layout(
        "started,ended,temp °C\n2026-02-03 08:00,2026-02-03 08:05,5.0\n", time_column="ended"
    )

    assert layout.time.columns == (1,)


def test_decimals_after_a_comma_and_after_a_point_are_asked_for():
    text = "time;temp °C\n2026-02-03 08:00;5,0\n2026-02-03 08:05;5.2\n"

    assert "--decimal comma" in _refusal(text).advice
    assert _layout(text, decimal="comma").decimal_comma


def test_two_ways_to_cut_the_lines_are_asked_for():
    refused = _refusal("2026-02-03,08:00,5\n2026-02-03;08:00;5\n", unit=Unit.CELSIUS)

    assert refused.says == "cannot tell the delimiter: comma or semicolon"


def test_a_file_without_readings_is_refused():
    refused = _refusal("name,born\nHazel,2001-02-03\n")

    assert refused.says == "no line with a date, a time and a temperature"


def test_columns_of_numbers_that_are_not_read_are_named():
    layout, _ = read(bytes_of("extremes-beside.csv"))
    damp, _ = read(bytes_of("humidity.csv"))

    assert layout.unread == ("min °C", "max °C")
    assert damp.unread == ("RH (%)", "Dew point (°C)")


def test_drift_and_interval_are_told_as_the_device_states_them():
    layout, _ = read(bytes_of("clock-drift.txt"))

    assert layout.drift == (timedelta(seconds=-72), timedelta(days=407))
    assert layout.stated_interval == timedelta(minutes=15)


@pytest.mark.parametrize(
    ("line", "minutes"),
    [("Interval: 00:05:00", 5), ("Logging every 30 sec", 0.5), ("Intervalo: 10 minutos", 10)],
)
def test_an_interval_is_understood_in_several_forms(line, minutes):
    layout = _layout(f"{line}\n{HEADER}{ROWS}")

    assert layout.stated_interval == timedelta(minutes=minutes)
