"""Logger files on disk: workbooks, files that grow while they are read, and very long ones."""

import io
import tracemalloc
from datetime import date, datetime, time
from zoneinfo import ZoneInfo

import pytest
from openpyxl import Workbook
from tests.exchange.loggers.reading import FILES, bytes_of, read
from tests.exchange.loggers.test_files import CASES

from thawline.adapters import logger_files
from thawline.adapters.logger_files import read_logger
from thawline.base.errors import ExchangeError, NotFoundError
from thawline.base.instants import from_ms, written
from thawline.exchange.dates import DateOrder
from thawline.exchange.loggers.asked import Asked
from thawline.exchange.loggers.layout import Unit

ASKED = Asked(zone=ZoneInfo("America/Chicago"))
HEADER = "time,temp °C\n"
SPARE = 25_000_000  # one block of text and what is worked out of it
ROW = "2026-02-03 08:{:02},5.0\n"


@pytest.fixture
def workbook(tmp_path):
    """A writer of workbooks: a list of rows becomes its only sheet."""

    def write(rows):
        book = Workbook()
        for row in rows:
            book.active.append(row)
        path = tmp_path / "fridge.xlsx"
        book.save(path)
        return str(path)

    return write


def _first(found):
    record = found.record.readings
    return written(from_ms(int(record.at_ms[0]))), int(record.temp_mc[0])


def test_a_workbook_with_typed_cells_is_read(workbook):
    path = workbook(
        [
            ["Refrigerator 2", None, None],
            ["No.", "Time", "Temperature (°C)"],
            [1, datetime(2026, 2, 3, 8, 0), 5.0],
            [2, datetime(2026, 2, 3, 8, 5), 5.25],
        ]
    )
    found = read_logger(path, ASKED)

    assert _first(found) == ("2026-02-03T14:00:00+00:00", 5000)
    assert [int(temp) for temp in found.record.readings.temp_mc] == [5000, 5250]
    assert "sheet" not in found.layout.read_as[0]


def test_typed_dates_and_times_in_two_columns_are_read(workbook):
    path = workbook(
        [
            ["Date", "Time", "Temp F"],
            [date(2026, 2, 3), time(8, 0), 41],
            [date(2026, 2, 3), time(8, 5), 42],
        ]
    )

    assert _first(read_logger(path, ASKED)) == ("2026-02-03T14:00:00+00:00", 5000)


def test_a_typed_midnight_has_its_time_of_day(workbook):
    # Spreadsheet programs hand a moment at midnight over as a date without a time.
    path = workbook(
        [
            ["Time", "Temperature (°C)"],
            *([datetime(2026, 2, day, 0, 0), 5.0] for day in (3, 4)),
            [datetime(2026, 2, 4, 0, 30), 9.0],
        ]
    )
    record = read_logger(path, ASKED).record

    assert [written(from_ms(int(at))) for at in record.readings.at_ms] == [
        "2026-02-03T06:00:00+00:00",
        "2026-02-04T06:00:00+00:00",
        "2026-02-04T06:30:00+00:00",
    ]
    assert record.not_read == ()


def test_a_line_end_of_another_kind_in_the_header_hides_no_reading(tmp_path):
    path = tmp_path / "fridge.csv"
    rows = "".join(ROW.format(minute) for minute in range(0, 60, 5))
    path.write_bytes(f"Place: hall\rRead out by: Hazel\n{HEADER}{rows}".encode())

    record = read_logger(str(path), ASKED).record

    assert (len(record.readings), int(record.lines[0])) == (12, 4)


def test_hours_of_one_and_of_two_digits_are_read_in_a_long_file_too(tmp_path):
    path = tmp_path / "fridge.csv"
    rows = [
        f"2026-02-{day:02} {n // 60}:{n % 60:02},5.0\n"
        for day in range(1, 4)
        for n in range(9 * 60 if day == 1 else 0, 1440)
    ]
    path.write_text(HEADER + "".join(rows))

    assert len(read_logger(str(path), ASKED).record.readings) == 3 * 1440 - 9 * 60


def test_decimals_behind_the_last_named_column_are_listed_in_a_bulk_of_rows_too(tmp_path):
    path = tmp_path / "fridge.csv"
    rows = [f"2026-02-03 08:{minute:02},8,\n" for minute in range(60)]
    rows[30] = "2026-02-03 08:30,8,4\n"
    path.write_text(HEADER + "".join(rows))

    record = read_logger(str(path), ASKED).record

    assert (len(record.readings), [each.line for each in record.not_read]) == (59, [32])


def test_a_workbook_with_texts_is_read_like_a_text_file(workbook):
    path = workbook([["Fecha", "Temp °C"], ["13/02/2026 08:00", "5,5"]])

    assert _first(read_logger(path, ASKED)) == ("2026-02-13T14:00:00+00:00", 5500)


def test_a_sheet_is_asked_for_only_in_workbooks(tmp_path):
    path = tmp_path / "a.csv"
    path.write_text(HEADER + ROW.format(0))

    with pytest.raises(ExchangeError, match="no sheets"):
        read_logger(str(path), ASKED, sheet="Data")


def test_a_file_that_grows_while_it_is_read_gives_what_was_there(tmp_path, monkeypatch):
    path = tmp_path / "growing.csv"
    path.write_text(HEADER + ROW.format(0) + ROW.format(5))
    lays_out = logger_files.layout_of

    def meanwhile(head, asked):
        with path.open("a") as file:
            file.write(ROW.format(10))
        return lays_out(head, asked)

    monkeypatch.setattr(logger_files, "layout_of", meanwhile)

    assert len(read_logger(str(path), ASKED).record.readings) == 2


def test_a_line_that_is_still_being_written_is_left_for_the_next_time(tmp_path):
    path = tmp_path / "growing.csv"
    path.write_text(HEADER + ROW.format(0) + ROW.format(5) + "2026-02-03 08:10,4")

    assert len(read_logger(str(path), ASKED).record.readings) == 2


def test_the_day_that_tells_the_order_may_stand_far_below(tmp_path):
    path = tmp_path / "long.csv"
    rows = [
        f"0{day}/02/2026 08:{n // 60:02}:{n % 60:02},5.0\n"
        for day in (3, 5)
        for n in range(3000)
    ]
    path.write_text(HEADER + "".join(rows) + "13/02/2026 08:00:00,5.5\n")

    found = read_logger(str(path), ASKED)

    assert found.layout.time.order is DateOrder.DMY
    assert len(found.record.readings) == 6001


def test_a_long_file_is_read_in_little_memory(tmp_path):
    path = tmp_path / "long.csv"
    with path.open("w") as file:
        file.write(HEADER)
        for day in range(1, 29):
            file.writelines(
                f"2026-02-{day:02} {n // 3600:02}:{n // 60 % 60:02}:{n % 60:02},5.{n % 10}\n"
                for n in range(0, 86_400, 20)
            )

    tracemalloc.start()
    try:
        found = read_logger(str(path), ASKED)
        _, most = tracemalloc.get_traced_memory()
    finally:
        tracemalloc.stop()

    assert len(found.record.readings) == 28 * 4320
    assert most < 24 * len(found.record.readings) + SPARE


def test_standard_input_is_read_like_a_file(monkeypatch):
    raw = (HEADER + ROW.format(0)).encode()
    monkeypatch.setattr("sys.stdin", io.TextIOWrapper(io.BytesIO(raw)))

    assert len(read_logger("-", ASKED).record.readings) == 1


def test_a_file_that_is_not_there_is_not_found():
    with pytest.raises(NotFoundError, match="no-such-file"):
        read_logger("no-such-file.csv", ASKED)


def test_a_utf_16_file_longer_than_the_head_is_read(tmp_path):
    path = tmp_path / "wide.txt"
    rows = [f"2026-02-03 08:{n // 60:02}:{n % 60:02},5.0\n" for n in range(3500)]
    path.write_bytes((HEADER + "".join(rows)).encode("utf-16"))

    found = read_logger(str(path), ASKED)

    assert (len(found.record.readings), found.record.probe.unit) == (3500, Unit.CELSIUS)


@pytest.mark.parametrize("case", CASES, ids=[case[0] for case in CASES])
def test_a_file_on_disk_is_read_like_the_same_lines_one_by_one(case):
    name, asked = case[0], {"zone": ASKED.zone, "zone_is": "the site's", **case[1]}
    _, one_by_one = read(bytes_of(name), **asked)

    at_once = read_logger(str(FILES / name), Asked(**asked)).record

    for seen, expected in (
        (at_once.readings.at_ms, one_by_one.readings.at_ms),
        (at_once.readings.temp_mc, one_by_one.readings.temp_mc),
        (at_once.lines, one_by_one.lines),
    ):
        assert seen.tolist() == expected.tolist()
    assert at_once.not_read == one_by_one.not_read
    assert at_once.ends_unread == one_by_one.ends_unread
