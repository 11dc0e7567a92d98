"""A file of bookings into rows that can be booked and rows that cannot. Invented people."""

from datetime import date, datetime, time
from decimal import Decimal
from zoneinfo import ZoneInfo

import pytest

from thawline.base.errors import ExchangeError
from thawline.base.instants import read_instant
from thawline.exchange.bookings import Choices, read_bookings
from thawline.exchange.columns import read_named, recogniser
from thawline.exchange.dates import DateOrder
from thawline.exchange.tables import Row, Table, text_table

CHICAGO = ZoneInfo("America/Chicago")
HALF_PAST_NINE = read_instant("2026-02-03T09:30:00-06:00")


def _read(text, *, zone=CHICAGO, encoding="utf-8", **choices):
    named = read_named(choices.pop("named", ()))
    table = text_table(text.encode(encoding), recogniser(named))
    return read_bookings(table, zone, Choices(named, **choices))


def _one(header, row, **choices):
    return _read(f"{header}\n{row}\n", **choices)


def test_a_spanish_file_of_a_western_machine_is_read_and_said():
    read = _read(
        "Nombre;Apellidos;Fecha de nacimiento;Teléfono;Cita;Dosis;Ayuda;Notas\n"
        "José;Peña;25/12/1980;555 0100;03/02/2026 9:30;primera;silla de ruedas;x\n",
        encoding="cp1252",
    )

    [row] = read.rows
    assert (row.name, row.born, row.phone) == ("José Peña", date(1980, 12, 25), "5550100")
    assert (row.slot, row.dose_number, row.needs) == (HALF_PAST_NINE, 1, "wheelchair")
    assert read.read_as == (
        "read as semicolon, Windows-1252, day-month-year (line 2: 25/12/1980), 24-hour times, "
        "columns: given = Nombre, family = Apellidos, born = Fecha de nacimiento, "
        "phone = Teléfono, slot = Cita, dose = Dosis, needs = Ayuda, not read: Notas"
    )


def test_a_file_without_phones_and_birth_dates_still_works():
    read = _one("name,date,time,dose", "Hazel Rainmoor,2026-02-03,09:30,1")

    [row] = read.rows
    assert (row.name, row.born, row.phone) == ("Hazel Rainmoor", None, "")
    assert read.not_said == ("born", "phone", "language")


def test_bad_rows_are_listed_with_their_line_and_good_rows_are_kept():
    read = _read(
        "name,date,time,dose,born\n"
        "Ann,2026-02-03,09:30,1,\n"
        "Ben,2026-02-30,09:30,1,\n"
        "Cat,2026-02-03,quarter past,1,\n"
        ",2026-02-03,09:30,1,\n"
        "Dan,2026-02-03,09:30,3,\n"
        "Eve,2026-02-03,09:30,1,yes\n"
        "Fay,2026-02-03,09:30,1,2026-02-04\n"
        "Ivy,2026-02-03,09:30,1,2026-02-03\n"
        "Gil,2026-02-03,09:40,2,,,extra\n"
        "Hal,2026-02-03,09:50,2,1970-01-01\n"
    )

    assert [row.name for row in read.rows] == ["Ann", "Ivy", "Hal"]
    assert [bad.line for bad in read.bad] == [3, 4, 5, 6, 7, 8, 10]
    assert [bad.reason for bad in read.bad] == [
        "no day-month-year date of booking: '2026-02-30'",
        "no time of booking (24-hour times): 'quarter past'",
        "neither a name nor a person's code",
        "dose is neither 1 nor 2: '3'",
        "no day-month-year birth date: 'yes'",
        "birth date 2026-02-04 after the booking",
        "7 cells, the header has 5",
    ]


@pytest.mark.parametrize(
    "cell",
    [
        *("03/02/2026 09:30", "3.2.2026 9.30", "3 Feb 2026, 9:30 am", "2026-02-03T09:30"),
        *("2026-02-03T09:30:00-06:00", "2026-02-03 15:30:00Z", "2026-02-03 9 h 30"),
        *("03/02/2026  9:30 a. m.", "3 de febrero de 2026 9:30 a.m."),
    ],
)
def test_a_slot_in_one_cell_is_the_same_half_past_nine(cell):
    read = _one("name;slot;dose", f"Ann;{cell};1", date_order=DateOrder.DMY)

    assert [row.slot for row in read.rows] == [HALF_PAST_NINE]


@pytest.mark.parametrize(
    "cell", ["", "tomorrow", "2026-02-03", "09:30", "46056.39", "2026-02-03T09:30:00+99:00"]
)
def test_a_slot_that_is_none_makes_a_bad_row(cell):
    read = _one("name;slot;dose", f"Ann;{cell};1")

    assert [bad.line for bad in read.bad] == [2]
    assert "no date and time of booking" in read.bad[0].reason


@pytest.mark.parametrize(
    ("row", "says"),
    [
        ("Ann,2026-03-08,02:30,1", "local time that does not exist: 2026-03-08 02:30"),
        ("Ann,2026-11-01,01:30,1", "local time that exists twice: 2026-11-01 01:30"),
    ],
)
def test_an_hour_that_the_clocks_skip_or_repeat_makes_a_bad_row(row, says):
    read = _one("name,date,time,dose", row, clock="24")

    assert [bad.reason for bad in read.bad] == [f"{says} in America/Chicago"]


def test_dates_of_twelve_and_below_only_are_asked_about():
    with pytest.raises(ExchangeError, match="could be") as caught:
        _one("name,date,time", "Ann,03/02/2026,09:30")

    assert "--date-order" in caught.value.advice


def test_birth_dates_tell_the_order_for_bookings_too():
    read = _one("name,born,date,time", "Ann,25/12/1980,03/02/2026,09:30")

    assert [row.slot for row in read.rows] == [HALF_PAST_NINE]


def test_a_birth_year_of_two_digits_is_not_taken_and_said():
    read = _one("name,born,date,time", "Ann,03/02/45,2026-02-03,09:30")

    assert [row.born for row in read.rows] == [None]
    assert [remark.line for remark in read.remarks] == [2]
    assert "two digits" in read.remarks[0].says


@pytest.mark.parametrize("cell", ["", "-", "NaN", "n/a", "NULL", "none"])
def test_a_cell_that_means_nothing_is_nothing(cell):
    header = "name,born,phone,language,needs,slot"
    [row] = _one(header, f"Ann,{cell},{cell},{cell},{cell},2026-02-03 09:30").rows

    assert (row.born, row.phone, row.language, row.needs) == (None, "", "", "")


@pytest.mark.parametrize("cell", ["NaN", "nan", "NULL", "#N/A", "-", ""])
def test_a_spreadsheets_empty_name_is_nobody(cell):
    read = _one("name,slot", f"{cell},2026-02-03 09:30")

    assert [bad.reason for bad in read.bad] == ["neither a name nor a person's code"]


def test_a_person_called_nan_is_somebody():
    assert _one("name,slot", "Nan,2026-02-03 09:30").rows[0].name == "Nan"


@pytest.mark.parametrize(
    ("cell", "number"),
    [("1", 1), ("2,0", 2), ("1.0", 1), ("Second dose", 2), ("1ª dosis", 1), ("D2", 2)],
)
def test_a_dose_is_told_in_many_ways(cell, number):
    [row] = _one("name;dose;slot", f"Ann;{cell};2026-02-03 09:30").rows

    assert row.dose_number == number


@pytest.mark.parametrize("cell", ["", "0", "3", "1.5", "NaN", "booster", "12"])
def test_a_dose_that_is_neither_first_nor_second_makes_a_bad_row(cell):
    read = _one("name;dose;slot", f"Ann;{cell};2026-02-03 09:30")

    assert [bad.reason for bad in read.bad] == [f"dose is neither 1 nor 2: {cell!r}"]


@pytest.mark.parametrize(("asked", "number"), [(None, None), (2, 2)])
def test_without_a_dose_column_the_dose_is_what_was_asked_or_not_known(asked, number):
    read = _one("name,slot", "Ann,2026-02-03 09:30", dose=asked)

    assert [row.dose_number for row in read.rows] == [number]
    assert ("dose" in read.not_said) is (asked is None)


@pytest.mark.parametrize(
    ("cell", "code"), [("DEMO-000012", "DEMO-000012"), (" p-000123 ", "P-000123")]
)
def test_a_persons_code_is_taken(cell, code):
    assert _one("id,slot", f"{cell},2026-02-03 09:30").rows[0].person == code


@pytest.mark.parametrize("cell", ["12", "078-05-1120", "A12345678", "P-1"])
def test_other_numbers_of_a_person_never_become_a_code(cell):
    read = _one("id,name,slot", f"{cell},Ann,2026-02-03 09:30")

    assert [row.person for row in read.rows] == [None]
    assert "not a person's code" in read.remarks[0].says


def test_help_in_the_files_own_words_is_kept_as_other_only():
    read = _one("name,needs,language,slot", "Ann,HIV clinic,Welsh,2026-02-03 09:30")

    assert (read.rows[0].needs, read.rows[0].language) == ("other", "other")
    assert len(read.remarks) == 2


def test_signs_that_turn_text_around_are_taken_out_of_names():
    [row] = _one("name,slot", "An\u202en\u0007 Lee,2026-02-03 09:30").rows

    assert row.name == "Ann Lee"


def test_a_name_beyond_any_length_makes_a_bad_row():
    read = _one("name,slot", f"{'n' * 121},2026-02-03 09:30")

    assert "a name of 121 letters" in read.bad[0].reason


def test_an_international_phone_keeps_its_plus():
    assert _one("name,phone,slot", "A,+1 (555) 010-0,2026-02-03 09:30").rows[0].phone == (
        "+15550100"
    )


def test_an_unknown_clock_is_refused():
    with pytest.raises(ExchangeError, match="unknown clock"):
        _one("name,slot", "Ann,2026-02-03 09:30", clock="13")


# --- typed cells, as a workbook brings them ------------------------------------------------


def _typed(**cells):
    header = tuple(cells)
    rows = (Row(1, header), Row(2, tuple(cells.values())))
    return read_bookings(Table(rows, ("sheet 'x'",)), CHICAGO, Choices())


def test_typed_cells_of_a_workbook_need_no_asking():
    read = _typed(
        name="Ann",
        born=datetime(1980, 3, 2),
        date=date(2026, 2, 3),
        time=time(9, 30),
        dose=Decimal("1.0"),
        phone=Decimal("5550100.0"),
    )

    [row] = read.rows
    assert (row.slot, row.born) == (HALF_PAST_NINE, date(1980, 3, 2))
    assert (row.dose_number, row.phone) == (1, "5550100")
    assert (
        "dates as the spreadsheet has them, times as the spreadsheet has them" in read.read_as
    )


@pytest.mark.parametrize(
    "slot",
    [datetime(2026, 2, 3, 9, 30), datetime(2026, 2, 3, 9, 29, 59, 999_999)],
    ids=["exact", "a fraction of a day"],
)
def test_a_typed_slot_is_rounded_to_the_second(slot):
    assert _typed(name="Ann", slot=slot).rows[0].slot == HALF_PAST_NINE


def test_a_typed_time_is_rounded_to_the_second():
    read = _typed(name="Ann", date=date(2026, 2, 3), time=time(9, 29, 59, 999_900))

    assert read.rows[0].slot == HALF_PAST_NINE


@pytest.mark.parametrize("cell", [Decimal(46056), time(9, 30)])
def test_a_typed_cell_that_is_no_date_makes_a_bad_row(cell):
    read = _typed(name="Ann", date=cell, time=time(9, 30))

    assert "date of booking" in read.bad[0].reason


@pytest.mark.parametrize("cell", [Decimal("0.4"), date(2026, 2, 3)])
def test_a_typed_cell_that_is_no_time_makes_a_bad_row(cell):
    read = _typed(name="Ann", date=date(2026, 2, 3), time=cell)

    assert "no time of booking" in read.bad[0].reason


@pytest.mark.parametrize("slot", [Decimal("46056.4"), time(9, 30), date(2026, 2, 3)])
def test_a_typed_cell_that_is_no_moment_makes_a_bad_row(slot):
    assert "no date and time of booking" in _typed(name="Ann", slot=slot).bad[0].reason
