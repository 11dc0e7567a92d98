"""
Cartons' codes as scanners type them.

The trade item number 09506000134352 is the example of the GS1 General Specifications; the
worked check digit (629104150021 gives 3) is GS1's own example, "How to calculate a check
digit manually". Lots are invented.
"""

from datetime import date

import pytest
from hypothesis import given
from hypothesis import strategies as st

from thawline.base.errors import ExchangeError
from thawline.exchange.gs1 import Carton, check_digit, looks_like_gs1, readings

GTIN = "09506000134352"
ITEM = f"01{GTIN}"


def test_a_carton_is_read_part_by_part():
    [carton] = readings(f"]d2{ITEM}1726123110ZZ-1041\x1d21A7", [])
    assert carton == Carton(GTIN, "ZZ-1041", date(2026, 12, 31), "A7")


@pytest.mark.parametrize(
    ("printed", "last_day"),
    [("260200", "2026-02-28"), ("280200", "2028-02-29"), ("260800", "2026-08-31")],
)
def test_an_expiry_without_a_day_lasts_through_the_month(printed, last_day):
    # GS1 General Specifications, 3.4.7: day 00 means the last day of the month.
    [carton] = readings(f"{ITEM}17{printed}", [])
    assert carton.expiry == last_day


def test_a_lot_whose_separator_is_lost_is_told_by_the_lots_on_the_site():
    [carton] = readings(f"{ITEM}10ZZ-104117260800", ["ZZ-1041", "ZZ-1107"])
    assert (carton.lot, carton.expiry) == ("ZZ-1041", "2026-08-31")


def test_a_lot_after_a_serial_number_is_found_too():
    [carton] = readings(f"{ITEM}21A710ZZ-1041", ["ZZ-1041"])
    assert (carton.lot, carton.serial) == ("ZZ-1041", "A7")


def test_two_lots_that_both_fit_are_both_shown_and_none_is_chosen():
    found = readings(f"{ITEM}10ZZ-104121A7", ["ZZ-1041", "ZZ-104121A7"])
    assert sorted((each.lot, each.serial) for each in found) == [
        ("ZZ-1041", "A7"),
        ("ZZ-104121A7", None),
    ]


def test_a_separator_that_arrives_as_another_character_is_taken_as_one():
    [carton] = readings(f"{ITEM}10ZZ-1041|21A7", [], separator="|")
    assert (carton.lot, carton.serial) == ("ZZ-1041", "A7")


def test_a_separator_that_arrived_is_believed_whatever_lots_are_here():
    [carton] = readings(f"{ITEM}10ZZ-104121A7\x1d17260800", ["ZZ-1041"])
    assert (carton.lot, carton.serial) == ("ZZ-104121A7", None)


@pytest.mark.parametrize(
    "typed",
    [
        "0109506000134353",
        f"{ITEM}17261300",
        f"{ITEM}10A\x1d10B",
        f"{ITEM}10{'A' * 21}",
        f"{ITEM}1",
    ],
    ids=["wrong digit", "month 13", "two lots", "lot too long", "cut off"],
)
def test_a_code_that_cannot_be_right_is_refused(typed):
    with pytest.raises(ExchangeError):
        readings(typed, ["ZZ-1041"])


def test_the_worked_check_digit_of_gs1_comes_out():
    assert check_digit("629104150021") == "3"


@given(st.text(alphabet="0123456789", min_size=13, max_size=13), st.integers(0, 12))
def test_one_wrong_digit_is_always_seen(digits, place):
    # Weights 3 and 1 share no divisor with 10: a changed digit changes the sum.
    changed = digits[:place] + str((int(digits[place]) + 1) % 10) + digits[place + 1 :]
    assert check_digit(digits) != check_digit(changed)


def test_a_flag_is_no_carton():
    assert not looks_like_gs1("HK47M")
    assert looks_like_gs1(f"]C1{ITEM}")
