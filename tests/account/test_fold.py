"""Balances by account and lot, as the ledger's entries leave them, with invented doses."""

from datetime import UTC, datetime

from tests.account.ledger_entries import balances, day_of, entry

from thawline.account.fold import ACCOUNT, Balance, DayMoves, key_of, parts_of
from thawline.base.instants import instant
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
    assert vial.on("2026-02-05") == DayMoves("2026-02-05", 0, 0)


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
    assert vial.on("2026-02-04") == DayMoves("2026-02-04", 0, 3)


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
