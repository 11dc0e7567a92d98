"""Which column is which, in English and Spanish, and when it must be asked."""

import pytest

from thawline.base.errors import ExchangeError
from thawline.exchange.column_names import NAMES, Field
from thawline.exchange.columns import find_layout, folded, read_named, recogniser
from thawline.exchange.tables import Row, Table, text_table


def _layout(header, *named, above=""):
    said = read_named(named)
    return find_layout(text_table(f"{above}{header}\n".encode(), recogniser(said)), said)


def test_english_headers_are_known():
    found = _layout(
        "ID,Full Name,Date of Birth,Mobile,Appointment Date,Appointment Time,Dose #"
    )

    assert set(found.at) == {
        *(Field.PERSON, Field.NAME, Field.BORN, Field.PHONE),
        *(Field.DATE, Field.TIME, Field.DOSE),
    }


def test_spanish_headers_are_known_with_and_without_accents():
    found = _layout("Código;Nombre;Apellidos;F. nacimiento;TELEFONO;Fecha y hora;N.º dosis")

    assert found.shown() == (
        "id = Código, given = Nombre, family = Apellidos, born = F. nacimiento, "
        "phone = TELEFONO, slot = Fecha y hora"
    )
    assert found.unread == ("N.º dosis",)


def test_a_title_above_the_header_is_passed_over():
    found = _layout("Name,Time,Date", above="Bookings of the week\n\n")

    assert found.header.line == 3


def test_nombre_alone_is_the_whole_name():
    assert Field.NAME in _layout("nombre,fecha,hora").at


def test_a_column_the_person_names_is_taken():
    found = _layout("Who is it?,Slot,Comment", "name=who is it")

    assert found.at[Field.NAME] == 0
    assert found.unread == ("Comment",)


def test_a_named_column_outranks_a_known_one():
    assert _layout("Name,Nickname,Slot", "name=Nickname").at[Field.NAME] == 1


def test_a_named_slot_sets_other_times_aside():
    found = _layout("Name,Slot,Date", "slot=Slot")

    assert Field.DATE not in found.at


def test_a_named_date_and_time_set_the_slot_aside():
    found = _layout("Name,Start,Day,Hour", "date=Day", "time=Hour")

    assert Field.SLOT not in found.at


@pytest.mark.parametrize(
    ("header", "named", "says", "option"),
    [
        ("name,phone,mobile,slot", (), "two columns could be the phone", "--column phone="),
        ("name,slot,date,time", (), "both a slot and a date", "--column slot="),
        ("name,phone", (), "no column for the date and time", "--column slot="),
        ("name,date", (), "no column for the date and time", "--column slot="),
        ("slot,phone", (), "no column that says who it is", "--column name="),
        ("name,slot", ("born=Birthday",), "no column called 'Birthday'", "--column"),
        ("name,x,x,slot", ("born=x",), "more than one column called 'x'", "--column"),
    ],
)
def test_what_cannot_be_told_is_asked_for_by_its_option(header, named, says, option):
    with pytest.raises(ExchangeError, match=says) as caught:
        _layout(header, *named)

    assert option in caught.value.advice


@pytest.mark.parametrize(
    ("rows", "says"),
    [
        ((), "the file has no rows"),
        ((Row(4, ("Quién", "Cuándo")),), "line 4 has: Quién, Cuándo"),
    ],
)
def test_a_sheet_without_a_known_header_is_refused_with_what_it_has(rows, says):
    with pytest.raises(ExchangeError, match=says):
        find_layout(Table(rows, ("sheet 'x'",)), {})


@pytest.mark.parametrize("pair", ["name", "=x", "shoe size=x"])
def test_a_column_option_that_names_no_field_is_refused(pair):
    with pytest.raises(ExchangeError, match="not a column and its name"):
        read_named([pair])


def test_no_two_fields_share_a_header():
    known = [folded(name) for names in NAMES.values() for name in names]

    assert sorted(known) == sorted(set(known))


def test_every_known_header_is_written_as_it_is_compared():
    assert [n for names in NAMES.values() for n in names if folded(n) != n] == []
