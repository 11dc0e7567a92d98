"""Logger files that cannot be right: a clear answer, the line, and what to do about it."""

import json

import pytest

from thawline.cli import main

FRIDGE = ["--zone", "America/Chicago", "--band", "fridge"]
HEADER = "time,temp °C\n"


@pytest.fixture
def told(tmp_path, capsys):
    """A runner of `cold read` on what a file holds: the exit code and the object of --json."""

    def run(written, *options, name="fridge.csv"):
        path = tmp_path / name
        path.write_bytes(written if isinstance(written, bytes) else written.encode())
        code = main(["cold", "read", str(path), *FRIDGE, *options, "--json"])
        return code, json.loads(capsys.readouterr().out)

    return run


def _rows(*rows):
    return HEADER + "".join(f"2026-02-05 {row.replace(' ', ',')}\n" for row in rows)


@pytest.mark.parametrize(
    ("written", "says", "tries"),
    [
        (b"", "the file is empty", "export it again"),
        (b" \r\n\r\n", "the file is empty", "export it again"),
        (bytes(range(256)) * 40, "zero bytes in it: not a text file", "export it as CSV"),
        (
            b"\xd0\xcf\x11\xe0" + bytes(600),
            "an old spreadsheet file",
            "save it as .xlsx or CSV",
        ),
        (b"PK\x03\x04 and nothing more", "not a workbook that can be read", "save it again"),
        (b"5" * 10_000_000, "line 1 is longer than 65,536 characters", "export it again"),
        (
            (HEADER + "2026-02-05 08:00,5.0\n" + "x" * 10_000_000).encode(),
            "line 3 has more than 1,048,576 bytes",
            "export it again",
        ),
        (
            "temp °C\n".encode() + b"time,temp\n2026-02-05 08:00,5.\xff\n",
            "line 3: not UTF-8, though other lines are: byte 20 of the line is 0xff",
            "read a copy with that line put right",
        ),
        (
            b"time,temp\nyesterday,warm\n",
            "no line with a date, a time and a temp",
            "--delimiter",
        ),
        (
            HEADER.encode() + b"2026-02-05 08:00,5.0\n" + "time,temp °F\n".encode(),
            "two units in one file: °C (line 1",
            "in one unit",
        ),
        (
            b"time,temp\n2026-02-05 08:00,5.0\xb0C\n2026-02-05 08:05,41.0\xb0F\n",
            "two units in one file: °C (line 2: 5.0°C) and °F (line 3: 41.0°F)",
            "in one unit",
        ),
    ],
    ids=[
        *("empty", "only blank lines", "binary", "an old spreadsheet", "a broken workbook"),
        *(
            "one line of 10 MB",
            "a last line of 10 MB",
            "a garbled byte",
            "no readings",
            "a second header",
        ),
        "a unit with each value",
    ],
)
def test_what_is_no_logger_file_is_refused_with_what_to_do(told, written, says, tries):
    code, answer = told(written)

    assert (code, answer["data"]) == (3, None)
    assert says in answer["error"]["says"]
    assert tries in answer["error"]["try"]


def test_utf_16_without_a_mark_is_read(told):
    code, answer = told(_rows("08:00 5.0", "08:05 5.0").encode("utf-16-be"))

    assert (code, answer["data"]["readings"]) == (0, 2)


def test_a_file_that_is_all_one_value_is_answered_and_noticed(told):
    code, answer = told(_rows(*(f"08:{minute:02} 5.0" for minute in range(0, 60, 5))))

    assert (code, answer["data"]["verdict"]) == (0, "in-range")
    assert "one-value" in [alert["code"] for alert in answer["alerts"]]


@pytest.mark.parametrize("value", ["85.0", "-127"])
def test_a_faulty_value_is_noticed_and_stays_an_excursion(told, value):
    code, answer = told(_rows("08:00 5.0", f"08:05 {value}", "08:10 5.0"))
    data = answer["data"]

    assert (code, data["verdict"]) == (1, "excursion")
    assert [spike["temp_c"] for spike in data["spikes"]] == [float(value)]
    assert data["excursions"][0]["extreme_c"] == float(value)


def test_times_going_backwards_over_midnight_are_reported_with_their_line(told):
    text = HEADER + "2026-02-05 23:55,5.0\n2026-02-05 00:00,5.0\n2026-02-05 00:05,5.0\n"
    code, answer = told(text)

    assert code == 1  # most of the day between them is not known
    assert [late["line"] for late in answer["data"]["out_of_order"]] == [3, 4]
    assert "out-of-order" in [alert["code"] for alert in answer["alerts"]]


def test_a_last_line_that_was_cut_off_is_not_believed(told):
    _, answer = told(_rows("08:00 5.0", "08:05 12.5") + "2026-02-05 08:10,1")
    [left] = answer["data"]["not_read"]

    assert (answer["data"]["readings"], answer["data"]["max_c"]) == (2, 12.5)
    assert (left["line"], left["why"]) == (4, "the last line has no end and may be cut off")


def test_a_record_whose_last_line_was_cut_off_is_never_called_in_range(told):
    code, answer = told(_rows("08:00 5.0", "08:05 5.0", "08:10 5.0") + "2026-02-05 08:15,1")
    (says,) = [each["says"] for each in answer["alerts"] if each["code"] == "not-known"]

    assert (code, answer["data"]["verdict"]) == (1, "not-known")
    assert "a last line that is cut off" in says


@pytest.mark.parametrize("value", ["NaN", "inf", "1e3", "5.2-or-so", "--", "\uff15.0"])
def test_what_is_no_temperature_is_listed_and_makes_the_time_not_known(told, value):
    code, answer = told(_rows("08:00 5.0", f"08:05 {value}", "08:10 5.0", "08:15 5.0"))
    [left] = answer["data"]["not_read"]

    assert (code, answer["data"]["verdict"]) == (1, "not-known")
    assert (left["line"], left["why"]) == (3, "no temperature")


def test_decimals_cut_off_at_a_comma_are_not_read_as_whole_degrees(told):
    code, answer = told(HEADER + "2026-02-05 08:00,8,4\n2026-02-05 08:05,8,0\n")

    assert code == 3
    assert "line 2: 3 cells under 2 names" in answer["error"]["says"]


def test_a_row_with_too_many_cells_is_listed_and_not_read(told):
    _, answer = told(_rows("08:00 5", "08:05 5", "08:10 8 4", "08:15 5"))
    [left] = answer["data"]["not_read"]

    assert (left["line"], left["why"]) == (4, "more cells than the table has columns")
    assert answer["data"]["verdict"] == "not-known"


def test_one_garbled_byte_spoils_its_own_line_only(told):
    rows = [f"2026-02-05 {n // 60:02}:{n % 60:02},5.0\n" for n in range(24 * 60)]
    raw = bytearray((HEADER + "".join(rows) * 4).encode())
    raw[len(HEADER.encode()) + 3 * len("".join(rows)) + len(rows[0]) - 3] = 0xFF
    _, answer = told(bytes(raw))
    [left] = answer["data"]["not_read"]

    assert answer["data"]["gaps"] == []  # the other copies have that minute
    assert (left["line"], left["text"]) == (4322, "2026-02-05 00:00,5�0")


def test_a_date_far_from_ours_is_told_and_not_hidden(told):
    code, answer = told(_rows("08:00 5.0", "08:05 5.0") + "1970-01-01 00:00,5.0\n")

    assert (code, answer["data"]["verdict"]) == (1, "not-known")
    assert answer["data"]["first"].startswith("1970-01-01")


def test_a_name_with_controls_does_not_reach_the_terminal(tmp_path, capsys):
    path = tmp_path / "odd.csv"
    path.write_text("time,\x1b[31mtemp °C\n2026-02-05 08:00,5.0\n2026-02-05 08:05,\x1b[2J\n")

    main(["cold", "read", str(path), *FRIDGE])

    assert "\x1b" not in capsys.readouterr().out
