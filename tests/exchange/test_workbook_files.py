"""
Workbooks, written by openpyxl and read in the shut-in child process; and hostile ones.

Limits: the project's reliability notes, section 3.11 (20 MB packed, 100 MB unpacked, 200
members, ratio 100, 512 MB and 20 s for the child).
"""

import stat
import subprocess
import sys
import zipfile
from datetime import date, datetime, time
from io import BytesIO
from zoneinfo import ZoneInfo

import openpyxl
import pytest

from thawline.adapters.tables import read_bytes, read_table, saved_at
from thawline.adapters.workbooks import UnreadableError, check_archive
from thawline.base.errors import ExchangeError, NotFoundError
from thawline.base.instants import read_instant
from thawline.exchange.bookings import Choices, read_bookings
from thawline.exchange.columns import recogniser

KNOWN = recogniser({})
HEADER = ["Name", "DOB", "Date", "Time", "Phone", "Dose"]
ANN = ["Ann", date(1980, 3, 2), date(2026, 2, 3), time(9, 30), 5550100, 1]


def _book(*rows, **sheets):
    book = openpyxl.Workbook()
    for row in rows:
        book.active.append(row)
    for name, more in sheets.items():
        sheet = book.create_sheet(name)
        for row in more:
            sheet.append(row)
    return book


def _raw(book):
    file = BytesIO()
    book.save(file)
    return file.getvalue()


def _archive(**parts):
    file = BytesIO()
    with zipfile.ZipFile(file, "w", zipfile.ZIP_DEFLATED) as archive:
        for name, text in parts.items():
            archive.writestr(name, text)
    return file.getvalue()


def assert_refused(raw, says, sheet=None):
    with pytest.raises(ExchangeError, match=says) as caught:
        read_table(raw, KNOWN, sheet=sheet)
    return caught.value


def test_a_workbook_is_read_as_it_was_written():
    table = read_table(_raw(_book(["Tuesday"], [], HEADER, ANN)), KNOWN)
    [row] = read_bookings(table, ZoneInfo("America/Chicago"), Choices()).rows

    assert (row.line, row.name, row.born) == (4, "Ann", date(1980, 3, 2))
    assert row.slot == read_instant("2026-02-03T09:30:00-06:00")
    assert (row.phone, row.dose_number) == ("5550100", 1)
    assert table.read_as == ("sheet 'Sheet'",)


def test_a_workbook_that_counts_days_from_1904_gives_the_same_dates():
    book = _book()
    book.epoch = openpyxl.utils.datetime.CALENDAR_MAC_1904
    book.active.append(["Name", "Slot"])
    book.active.append(["Ann", datetime(2026, 2, 3, 9, 30)])

    assert read_table(_raw(book), KNOWN).rows[1].cells[1] == datetime(2026, 2, 3, 9, 30)


def test_a_formula_gives_its_value_and_never_runs():
    assert read_table(_raw(_book(HEADER, ["=1+1", *ANN[1:]])), KNOWN).rows[1].line == 2


def test_several_sheets_are_asked_about_by_name():
    raw = _raw(_book(HEADER, ANN, Wednesday=[HEADER, ANN]))

    assert (
        "--sheet 'Sheet'" in assert_refused(raw, "several sheets: 'Sheet', 'Wednesday'").advice
    )
    assert read_table(raw, KNOWN, sheet="Wednesday").read_as == ("sheet 'Wednesday'",)


def test_empty_sheets_are_no_choice():
    assert len(read_table(_raw(_book(HEADER, ANN, Empty=[])), KNOWN).rows) == 2


def test_a_sheet_that_is_not_there_is_named():
    assert_refused(_raw(_book(HEADER)), "no sheet 'Monday'; there are: 'Sheet'", sheet="Monday")


def test_a_workbook_without_anything_isassert_refused():
    assert_refused(_raw(_book()), "no sheet with anything on it")


def test_a_text_file_has_no_sheets():
    assert_refused(b"name,slot\n", "no sheets", sheet="Monday")


def test_what_only_starts_like_a_workbook_isassert_refused():
    assert_refused(b"PK\x03\x04 and then nothing of the kind", "not a workbook")


def test_an_archive_that_is_no_workbook_isassert_refused():
    assert_refused(_archive(**{"readme.txt": "hello"}), "not a workbook")


def test_a_cell_far_out_does_not_fill_the_memory():
    book = _book(HEADER, ANN)
    book.active.cell(1_048_576, 16_384, "far out")

    assert assert_refused(_raw(book), "too large or broken|reaches to row").advice


@pytest.mark.parametrize("far", [(200_001, 1), (1, 501)], ids=["rows", "columns"])
def test_a_sheet_that_reaches_too_far_isassert_refused(far):
    book = _book(HEADER, ANN)
    book.active.cell(*far, "x")

    assert_refused(_raw(book), "the sheet reaches to")


def test_an_archive_that_unpacks_to_far_more_than_it_is_isassert_refused():
    assert_refused(_archive(**{"xl/workbook.xml": "0" * 20_000_000}), "unpacks to far more")


def test_a_sheet_that_reaches_as_far_as_allowed_is_read():
    book = _book(HEADER, ANN)
    book.active.cell(200_000, 1, "x")

    assert read_table(_raw(book), KNOWN).rows[-1].line == 200_000


@pytest.mark.parametrize(("zeros", "refused"), [(100_000, False), (100_001, True)])
def test_a_small_dense_part_is_harmless(zeros, refused):
    raw = _archive(**{"a.xml": "0" * zeros})
    try:
        check_archive(raw)
    except UnreadableError:
        assert refused
    else:
        assert not refused


def test_too_many_parts_areassert_refused():
    assert_refused(_archive(**{f"p{i}.xml": "x" for i in range(201)}), "201 parts")


def test_as_many_parts_as_allowed_are_looked_at():
    with pytest.raises(UnreadableError, match="at most 200"):
        check_archive(_archive(**{f"p{i}.xml": "x" for i in range(201)}))
    check_archive(_archive(**{f"p{i}.xml": "x" for i in range(200)}))


@pytest.mark.parametrize("name", ["../evil.xml", "/etc/evil.xml", "a\\..\\evil.xml"])
def test_a_part_that_points_outside_isassert_refused(name):
    with pytest.raises(UnreadableError, match="points outside"):
        check_archive(_archive(**{name: "x"}))


def test_a_part_that_is_a_link_isassert_refused():
    file = BytesIO()
    with zipfile.ZipFile(file, "w") as archive:
        link = zipfile.ZipInfo("xl/link")
        link.external_attr = (stat.S_IFLNK | 0o777) << 16
        archive.writestr(link, "elsewhere")

    with pytest.raises(UnreadableError, match="points outside"):
        check_archive(file.getvalue())


@pytest.mark.parametrize(
    "xml",
    [
        b"<!DOCTYPE x [<!ENTITY a 'aaaa'>]><x>&a;</x>",
        "<!DOCTYPE x><x/>".encode("utf-16-le"),
        b" " * 65_530 + b"<!ENTITY a 'a'>",
    ],
    ids=["plain", "utf-16", "across two pieces"],
)
def test_xml_that_declares_entities_isassert_refused(xml):
    with pytest.raises(UnreadableError, match="entities"):
        check_archive(_archive(**{"xl/workbook.xml": xml}))


def test_the_child_can_open_nothing():
    code = (
        "import sys, socket\n"
        "from thawline.adapters import workbooks\n"
        "workbooks._shut_in()\n"
        "for attempt in (lambda: open('/etc/hostname'), socket.socket):\n"
        "    try:\n"
        "        attempt()\n"
        "    except OSError:\n"
        "        sys.stdout.write('refused ')\n"
    )
    done = subprocess.run(  # noqa: S603  our own words
        [sys.executable, "-c", code], capture_output=True, check=True
    )

    assert done.stdout == b"refused refused "


def test_a_missing_file_is_named(tmp_path):
    with pytest.raises(NotFoundError, match=r"nowhere\.csv"):
        read_bytes(str(tmp_path / "nowhere.csv"))


def test_a_file_beyond_the_limit_is_not_read_whole(tmp_path):
    big = tmp_path / "big.csv"
    with big.open("wb") as file:
        file.truncate(30_000_000)

    with pytest.raises(ExchangeError, match="20 MB"):
        read_bytes(str(big))


def test_a_file_says_when_it_was_saved_and_standard_input_does_not(tmp_path):
    file = tmp_path / "a.csv"
    file.write_text("x")

    assert saved_at(str(file)) == file.stat().st_mtime
    assert saved_at("-") is None
