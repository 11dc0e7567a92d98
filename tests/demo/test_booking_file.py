"""The list of bookings reads back as the people who are in it."""

import pytest

from thawline.adapters.tables import read_bytes, read_table
from thawline.base.instants import read_instant, zone_named
from thawline.demo.booking_file import write_bookings
from thawline.demo.district import TUESDAY, place_named
from thawline.demo.people import people_booked
from thawline.exchange.bookings import Choices, read_bookings
from thawline.exchange.columns import recogniser

HALL = place_named("harrowmint")
SEED = 28


@pytest.fixture(name="read", scope="module")
def _read(tmp_path_factory):
    path = tmp_path_factory.mktemp("demo") / "bookings.csv"
    write_bookings(path, HALL, TUESDAY, SEED)
    table = read_table(read_bytes(str(path)), recogniser({}))
    return read_bookings(table, zone_named("Etc/GMT+6"), Choices())


def test_every_row_can_be_read(read):
    assert (len(read.rows), read.bad) == (720, ())


def test_the_first_is_booked_for_seven_in_the_morning(read):
    assert read.rows[0].slot == read_instant("2026-02-03T07:00:00-06:00")


def test_codes_names_and_birth_dates_come_back_as_written(read):
    people = people_booked(HALL, TUESDAY, SEED)

    assert [(row.person, row.name, row.born) for row in read.rows] == [
        (each.code, each.called.whole, each.born) for each in people
    ]


def test_language_group_and_help_come_back(read):
    people = people_booked(HALL, TUESDAY, SEED)
    needs = {"lying down": "lying-down"}

    assert [(row.language, row.group, row.needs) for row in read.rows] == [
        (each.language, each.group, needs.get(each.needs, each.needs)) for each in people
    ]
