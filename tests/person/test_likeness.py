"""Who may be the same person. Invented names."""

from datetime import date

import pytest
from hypothesis import given
from hypothesis import strategies as st

from thawline.person.likeness import (
    Identity,
    Likeness,
    Register,
    likeness_of,
    may_be,
    swapped,
)

BORN = date(1980, 3, 2)
HAZEL = Identity("Hazel Rainmoor", BORN, "555 0101")


@pytest.mark.parametrize(
    ("other", "likeness"),
    [
        (Identity("Hazel Rainmoor", BORN, "5550101"), Likeness.SAME),
        (Identity("RAINMOOR, Hazel", BORN, "(555) 0101"), Likeness.SAME),
        (Identity("Házel Rainmoor", BORN, "555-0101"), Likeness.SAME),
        (Identity("Hazel Rainmoor", BORN, "555 0102"), Likeness.NAME_AND_BIRTH),
        (Identity("Hazel Rainmoor", BORN), Likeness.NAME_AND_BIRTH),
        (Identity("Hazel Rainmoor", date(1980, 2, 3), "555 0101"), Likeness.SWAPPED),
        (Identity("Hazel Rainmoor", date(1980, 2, 3)), Likeness.SWAPPED),
        (Identity("Hazel Rainmoor", None, "555 0101"), Likeness.NAME_AND_PHONE),
        (Identity("Hazel Rainmoor", None, "555 0102"), None),
        (Identity("Hazel Rainmoor"), None),
        (Identity("Hazel Rainmoor", date(1981, 3, 2), "555 0101"), None),
        (Identity("Hazel Rainmore", BORN, "555 0101"), None),
        (Identity("Hazel Rain-Moor", BORN), Likeness.SPELLED),
        (Identity("Hazel Ann Rainmoor", BORN), Likeness.SPELLED),
        (Identity("Hazel Rain-Moor", None, "555 0101"), Likeness.SPELLED),
        (Identity("Hazel Rain-Moor"), None),
        (Identity("Hazel Rain-Moor", date(1981, 3, 2), "555 0101"), None),
    ],
)
def test_how_two_rows_are_alike(other, likeness):
    assert likeness_of(HAZEL, other) is likeness
    assert likeness_of(other, HAZEL) is likeness


@pytest.mark.parametrize(
    "told",
    [
        Identity("Ann Lee"),
        Identity("Ann Lee", BORN),
        Identity("Ann Lee", None, "555 0101"),
    ],
    ids=["name only", "no phone", "no birth date"],
)
def test_equal_in_everything_told_is_not_surely_the_same(told):
    assert likeness_of(told, told) is Likeness.AS_TOLD


@pytest.mark.parametrize(
    ("day", "other"),
    [
        (date(1980, 3, 2), date(1980, 2, 3)),
        (date(1980, 2, 2), date(1980, 2, 2)),
        (date(1980, 3, 13), None),
    ],
)
def test_day_and_month_swap_where_the_calendar_lets_them(day, other):
    assert swapped(day) == other


@given(st.dates())
def test_swapping_twice_changes_nothing(day):
    other = swapped(day)

    assert other is None or swapped(other) == day


def test_a_register_shows_everybody_alike_in_the_order_they_came():
    register = Register()
    register.add("P-000002", Identity("Hazel Rainmoor", BORN))
    register.add("P-000001", HAZEL)
    register.add("P-000003", Identity("Bryony Testwick", BORN))
    register.add("P-000004", Identity("Hazel Rainmoor", date(1999, 12, 31)))

    found = [(alike.person, alike.likeness) for alike in register.alike(HAZEL)]

    assert found == [("P-000002", Likeness.NAME_AND_BIRTH), ("P-000001", Likeness.SAME)]


def test_people_without_a_name_are_alike_nobody():
    register = Register()
    register.add("DEMO-000001", Identity(""))

    assert list(register.alike(Identity(""))) == []


@pytest.mark.parametrize(
    ("kept", "found"),
    [
        (Identity("RAINMOOR, Hazel", date(1999, 9, 9)), True),
        (Identity("Hazel Rain-Moor", BORN), True),
        (Identity("Hazel Rain-Moor", date(1999, 9, 9)), False),
        (Identity("Sorrel Loom", BORN, "555 0101"), False),
    ],
    ids=["the same name", "spelled otherwise", "and born another day", "another name"],
)
def test_who_is_looked_for_is_found_by_name_and_by_birth_date_under_another_spelling(
    kept, found
):
    assert may_be(HAZEL, kept) is found


def test_a_name_without_letters_is_nobodys():
    assert not may_be(Identity("-", BORN), Identity("-", BORN))


def test_a_name_spelled_otherwise_is_alike_in_a_file_by_its_birth_date():
    register = Register()
    register.add("P-000001", Identity("Hazel Rain-Moor", BORN))
    register.add("P-000002", Identity("Sorrel Loom", BORN))

    assert [(each.person, each.likeness) for each in register.alike(HAZEL)] == [
        ("P-000001", Likeness.SPELLED)
    ]


def test_without_a_birth_date_another_spelling_is_not_looked_for_in_a_file():
    register = Register()
    register.add("P-000001", Identity("Hazel Rain-Moor"))

    assert list(register.alike(HAZEL)) == []
    assert [each.person for each in register.alike(Identity("hazel rain moor"))] == ["P-000001"]
