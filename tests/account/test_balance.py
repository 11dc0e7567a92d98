"""
The balance of a made-up site, counted by hand from its entries (tests/account/a_day.py).

It is the worked example of docs/background/dose-accounts.md.
"""

from tests.account.a_day import BALANCES, LOT, OTHER, TUESDAY, WEDNESDAY, drawn, given
from tests.account.ledger_entries import balances, day_of

from thawline.account.balance import (
    NOTHING,
    Sheet,
    VialSheet,
    below_zero,
    by_lot,
    lots,
    sheet,
    vial_sheets,
)
from thawline.base.findings import Level
from thawline.ledger import events as ev


def test_all_days_together_start_from_nothing():
    assert sheet(BALANCES) == Sheet(
        opening=0,
        received=24,
        extra=2,
        given=6,
        wasted=7,
        missing=1,
        sent=4,
        left=8,
    )


def test_each_lot_has_its_own_sheet():
    assert lots(BALANCES) == (LOT, OTHER)
    assert sheet(BALANCES, OTHER) == Sheet(
        opening=0, received=4, extra=0, given=1, wasted=2, missing=1, sent=0, left=0
    )


def test_the_sheets_of_all_lots_add_up_to_that_of_the_site():
    of_lots = {lot: sheet(of, last=TUESDAY) for lot, of in by_lot(BALANCES).items()}

    assert of_lots[OTHER] == sheet(BALANCES, OTHER, last=TUESDAY)
    assert sum(of_lots.values(), NOTHING) == sheet(BALANCES, last=TUESDAY)
    assert sheet(BALANCES, LOT) + sheet(BALANCES, OTHER) == Sheet(
        opening=0, received=24, extra=2, given=6, wasted=7, missing=1, sent=4, left=8
    )


def test_what_is_left_on_tuesday_is_what_wednesday_opens_with():
    tuesday = sheet(BALANCES, first=TUESDAY, last=TUESDAY)
    wednesday = sheet(BALANCES, first=WEDNESDAY, last=WEDNESDAY)

    assert tuesday == Sheet(
        opening=0, received=24, extra=2, given=4, wasted=5, missing=0, sent=4, left=13
    )
    assert wednesday == Sheet(
        opening=13, received=0, extra=0, given=2, wasted=2, missing=1, sent=0, left=8
    )


def test_a_quiet_day_opens_and_ends_with_the_same():
    quiet = sheet(BALANCES, first="2026-02-09", last="2026-02-09")

    assert (quiet.opening, quiet.left, quiet.given) == (8, 8, 0)


def test_every_sheet_balances():
    days = [{}, {"first": TUESDAY, "last": TUESDAY}, {"first": WEDNESDAY}]

    assert all(sheet(BALANCES, lot, **when).balances for lot in (None, LOT) for when in days)


def test_a_sheet_with_a_dose_too_many_does_not_balance():
    assert not Sheet(1, 2, 0, 0, 0, 0, 0, 4).balances


def test_a_vial_shows_where_each_of_its_doses_is():
    by_vial = {each.vial: each for each in vial_sheets(BALANCES)}

    assert by_vial["HK47M"] == VialSheet(
        vial="HK47M",
        lot=LOT,
        came=4,
        extra=1,
        given=4,
        wasted=1,
        missing=0,
        sent=0,
        in_syringes=0,
        left=0,
        first_day=TUESDAY,
    )
    assert by_vial["CM62T"].sent == 4
    assert by_vial["RA93P"] == VialSheet("RA93P", OTHER, 4, 0, 1, 2, 1, 0, 0, 0, WEDNESDAY)


def test_a_vial_in_use_shows_its_syringes_and_what_is_left():
    arrived = ev.VialsArrived(vials=("HK47M", "CM62T"), lot=LOT, expiry="2026-08", doses=10)
    whole, open_vial = vial_sheets(
        balances(day_of(arrived, drawn("HK47M", 1, 2, 3), given("HK47M-02")))
    )

    assert (open_vial.in_syringes, open_vial.left, open_vial.given) == (2, 7, 1)
    assert (whole.left, whole.first_day) == (10, None)


def test_an_account_below_zero_is_a_stop_with_its_name_and_its_doses():
    (stop,) = below_zero(balances(day_of(given("HK47M-01"))))

    assert (stop.level, stop.code) == (Level.STOP, "below-zero")
    assert stop.says == (
        "syringe:HK47M-01, lot ZZ-1041, has -1 doses by the book. "
        "Look at its entries in the journal and correct the wrong one."
    )


def test_extra_doses_and_the_world_outside_are_below_zero_by_nature():
    assert below_zero(BALANCES) == ()


def test_a_dose_wasted_from_a_place_nobody_knows_is_left_below_zero():
    strange = balances(day_of(ev.DoseWasted(place="tray", lot=LOT, doses=1, cause="spilled")))

    assert sheet(strange) == Sheet(0, 0, 0, 0, 1, 0, 0, -1)
    assert [finding.code for finding in below_zero(strange)] == ["below-zero"]
