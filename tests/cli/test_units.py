"""Which refrigerator, freezer or table vials go into, as commands name it."""

import pytest
from tests.cast import ROWAN

BY = ("--by", ROWAN)
TAKE_OUT = ("vial", "to-fridge", "--lot", "ZZ-1041", "--count", "1", "--at", "04:00", *BY)


@pytest.fixture
def named(clinic):
    """Harrowmint with one freezer, two refrigerators and two tables by name."""
    for name, band in (
        ("freezer-1", "frozen"),
        ("fridge-1", "refrigerator"),
        ("fridge-2", "refrigerator"),
        ("table-1", "room"),
        ("table-2", "room"),
    ):
        clinic.run("site", "unit", name, "--band", band)
    return clinic


def test_a_site_that_named_no_unit_goes_on_as_before(clinic):
    code, answer = clinic.ask(*TAKE_OUT)

    record = answer["data"]["record"]
    assert (code, record["from_unit"], record["unit"]) == (0, "freezer-1", "fridge-1")


def test_vials_go_into_the_refrigerator_that_is_named(named):
    code, answer = named.ask(*TAKE_OUT, "--unit", "fridge-2")

    assert (code, answer["data"]["record"]["unit"]) == (0, "fridge-2")


def test_of_two_refrigerators_somebody_must_say_which(named):
    code, answer = named.ask(*TAKE_OUT)

    assert (code, answer["error"]["says"]) == (3, "which refrigerator: there are 2 here")
    assert answer["error"]["try"] == "add --unit, one of fridge-1, fridge-2"


@pytest.mark.parametrize(
    ("unit", "code", "says"),
    [
        ("fridge-3", 5, "no storage unit fridge-3 here"),
        ("freezer-1", 3, "freezer-1 is a freezer, not a refrigerator"),
        ("table-1", 3, "table-1 is a table, not a refrigerator"),
    ],
)
def test_a_slip_of_the_unit_is_not_recorded(named, unit, code, says):
    found, answer = named.ask(*TAKE_OUT, "--unit", unit)

    assert (found, answer["error"]["says"]) == (code, says)
    assert named.ask("site", "show")[1]["data"]["sites"][0]["vials_coded"] == 0


def test_a_table_is_the_one_at_the_station_unless_another_is_named(named):
    _, answer = named.ask(*TAKE_OUT, "--unit", "fridge-1")
    (code,) = answer["data"]["record"]["vials"]
    to_table = ("vial", "to-table", code, "--at", "06:35", *BY)

    _, at_station = named.ask(*to_table, "--station", "table-2", "--dry-run")
    _, by_name = named.ask(*to_table, "--unit", "table-1", "--dry-run")
    _, unsaid = named.ask(*to_table, "--dry-run")

    units = [each["data"]["record"]["unit"] for each in (at_station, by_name, unsaid)]
    assert units == ["table-2", "table-1", ""]


def test_cartons_go_into_the_freezer_of_the_site(named):
    receive = ("vial", "receive", "ZZ-1107", "2026-08", "20", "--at", "02:00", *BY)

    _, into_the_only_one = named.ask(*receive)
    code, wrong = named.ask(*receive, "--unit", "fridge-1")

    assert into_the_only_one["data"]["record"]["unit"] == "freezer-1"
    assert (code, wrong["error"]["says"]) == (3, "fridge-1 is a refrigerator, not a freezer")
