"""Balances by account and lot, as the ledger's entries leave them, with invented doses."""

from datetime import UTC, datetime, timedelta

import pytest
from msgspec.structs import replace
from tests.account.ledger_entries import balances, day_of, entry

from thawline.account.fold import (
    ACCOUNT,
    Balance,
    Counted,
    DayMoves,
    Way,
    key_of,
    parts_of,
)
from thawline.base.instants import Instant, instant
from thawline.ledger import events as ev

LOT = "ZZ-1041"
ARRIVED = ev.VialsArrived(vials=("HK47M",), lot=LOT, expiry="2026-08", doses=10)


def _wasted(doses: int) -> ev.DoseWasted:
    return ev.DoseWasted(place="vial:HK47M", lot=LOT, doses=doses, cause="spilled")


def test_a_vial_holds_what_came_less_what_left():
    states = balances(day_of(ARRIVED, _wasted(1), _wasted(2)))

    assert states["vial:HK47M|ZZ-1041"].doses == 7
    assert states["wasted:spilled|ZZ-1041"].doses == 3
    assert states["outside|ZZ-1041"].doses == -10


def test_each_days_coming_and_going_is_kept_apart():
    tuesday = instant(datetime(2026, 2, 3, 15, tzinfo=UTC))
    wednesday = instant(datetime(2026, 2, 4, 15, tzinfo=UTC))
    vial = balances([entry(ARRIVED, tuesday), entry(_wasted(3), wednesday)])[
        "vial:HK47M|ZZ-1041"
    ]

    assert vial.days == (DayMoves("2026-02-03", 10, 0), DayMoves("2026-02-04", 0, 3))
    assert (vial.before("2026-02-03"), vial.before("2026-02-04")) == (0, 10)
    assert vial.between("2026-02-03", "2026-02-04") == DayMoves("2026-02-03", 10, 3)
    assert vial.between("2026-02-05", "2026-02-06") == DayMoves("2026-02-05", 0, 0)


def test_a_dose_typed_in_late_counts_on_the_day_it_happened():
    tuesday = instant(datetime(2026, 2, 3, 15, tzinfo=UTC))
    wednesday = instant(datetime(2026, 2, 4, 15, tzinfo=UTC))
    entries = [
        entry(ARRIVED, tuesday),
        entry(_wasted(3), wednesday),
        entry(_wasted(1), tuesday),
    ]

    vial = balances(entries)["vial:HK47M|ZZ-1041"]

    assert vial.days == (DayMoves("2026-02-03", 10, 1), DayMoves("2026-02-04", 0, 3))
    assert vial.between("2026-02-04", "2026-02-04") == DayMoves("2026-02-04", 0, 3)


def test_an_evening_in_chicago_belongs_to_that_evening_and_not_to_tomorrow_in_utc():
    half_past_eight = instant(datetime(2026, 2, 4, 2, 30, tzinfo=UTC))

    vial = balances([entry(ARRIVED, half_past_eight)])["vial:HK47M|ZZ-1041"]

    assert vial.days == (DayMoves("2026-02-03", 10, 0),)


def test_an_entry_whose_correction_moves_nothing_leaves_the_balance_alone():
    note = entry(ev.Noted(says="typed for the wrong vial"))

    assert ACCOUNT.step("vial:HK47M|ZZ-1041", Balance(4), note) == Balance(4)
    assert ACCOUNT.step("vial:HK47M|ZZ-1041", None, note) == Balance(0)


def test_a_lot_with_a_bar_in_it_stays_whole():
    assert parts_of(key_of("vial:HK47M", "ZZ|1041")) == ("vial:HK47M", "ZZ|1041")


def test_a_vial_and_a_syringe_keep_where_their_doses_went():
    drawn = ev.DoseDrawn(vial="HK47M", lot=LOT, syringes=("HK47M-01", "HK47M-02"))
    given = ev.DoseGiven(
        person="DEMO-000001", dose_number=1, lot=LOT, doses_from="syringe:HK47M-01"
    )

    states = balances(day_of(ARRIVED, drawn, _wasted(2), _wasted(1), given))

    assert states["vial:HK47M|ZZ-1041"].ways == (
        Way("2026-02-03", "syringe:HK47M-01", 1),
        Way("2026-02-03", "syringe:HK47M-02", 1),
        Way("2026-02-03", "wasted:spilled", 3),
    )
    assert states["syringe:HK47M-01|ZZ-1041"].ways == (Way("2026-02-03", "given", 1),)
    assert states["outside|ZZ-1041"].ways == ()


def _counted(doses: int, *, book: int = 0, place: str = "vial:HK47M") -> ev.CountTaken:
    return ev.CountTaken(place=place, lot=LOT, doses=doses, book=book)


def _off(*entries) -> int:
    return balances(list(entries))["vial:HK47M|ZZ-1041"].count.off


AFTER = instant(datetime(2026, 2, 3, 23, tzinfo=UTC))
BEFORE = instant(datetime(2026, 2, 3, 20, 2, tzinfo=UTC))
AT = instant(datetime(2026, 2, 3, 22, tzinfo=UTC))


def test_a_count_is_held_against_what_the_book_has_at_that_moment():
    state = balances([entry(ARRIVED), entry(_wasted(1)), entry(_counted(8, book=99), AT)])

    assert state["vial:HK47M|ZZ-1041"].count == Counted(1770156000000, 8, -1)
    assert state["vial:HK47M|ZZ-1041"].doses == 9


def test_doses_that_leave_after_the_count_do_not_change_it():
    counted = entry(_counted(9), AT)

    assert _off(entry(ARRIVED), counted, entry(_wasted(4), AFTER)) == -1
    assert _off(entry(ARRIVED), counted, entry(_wasted(4), AT)) == -1


def test_what_is_typed_in_about_the_time_before_the_count_explains_it():
    assert _off(entry(ARRIVED), entry(_counted(9), AT), entry(_wasted(1), BEFORE)) == 0


def test_doses_declared_not_found_explain_a_count_that_was_short():
    missing = ev.DoseNotFound(place="vial:HK47M", lot=LOT, doses=1, why="", second="hazel")

    assert _off(entry(ARRIVED), entry(_counted(9), AT), entry(missing, AFTER)) == 0


def test_a_second_count_takes_the_place_of_the_first():
    assert _off(entry(ARRIVED), entry(_counted(4), AT), entry(_counted(10), AFTER)) == 0


def test_a_count_where_no_account_ever_moved_is_held_against_the_book_it_names():
    counted = entry(_counted(118, book=120, place="fridge"), AT)

    assert balances([counted])["fridge|ZZ-1041"] == Balance(
        0, count=Counted(1770156000000, 118, -2)
    )


def _on(day: int, hour: int, minute: int = 0):
    return instant(datetime(2026, 2, day, hour, minute, tzinfo=UTC))


def test_several_movements_of_a_day_are_one_line_of_it_in_whatever_order_they_are_typed():
    entries = [
        entry(ARRIVED, _on(3, 15)),
        entry(_wasted(1), _on(3, 16)),
        entry(_wasted(2), _on(5, 16)),
        entry(_wasted(1), _on(4, 16)),
        entry(_wasted(3), _on(4, 17)),
        entry(_wasted(1), _on(3, 17)),
    ]

    assert balances(entries)["vial:HK47M|ZZ-1041"].days == (
        DayMoves("2026-02-03", 10, 2),
        DayMoves("2026-02-04", 0, 4),
        DayMoves("2026-02-05", 0, 2),
    )


@pytest.mark.parametrize(
    ("zone", "midnight"),
    [
        ("America/Chicago", (4, 6, 0)),
        ("Asia/Kathmandu", (3, 18, 15)),
        ("America/St_Johns", (4, 3, 30)),
    ],
)
def test_a_day_ends_at_local_midnight_to_the_minute(zone, midnight):
    after = _on(*midnight)
    before = Instant(after - timedelta(minutes=1))
    entries = [replace(entry(ARRIVED, at), zone=zone) for at in (before, after)]

    days = balances(entries)["vial:HK47M|ZZ-1041"].days

    assert [moves.day for moves in days] == ["2026-02-03", "2026-02-04"]


def test_a_way_taken_again_is_added_to_in_its_place():
    drawn = ev.DoseDrawn(vial="HK47M", lot=LOT, syringes=("HK47M-01",))
    last = ev.VialDiscarded(vial="HK47M", lot=LOT, doses=2, cause="leftover")

    vial = balances(day_of(ARRIVED, _wasted(1), drawn, last, _wasted(2)))["vial:HK47M|ZZ-1041"]

    assert vial.ways == (
        Way("2026-02-03", "wasted:spilled", 3),
        Way("2026-02-03", "syringe:HK47M-01", 1),
        Way("2026-02-03", "wasted:leftover", 2),
    )


def test_the_ledger_knows_this_fold_as_account():
    assert ACCOUNT.name == "account"
