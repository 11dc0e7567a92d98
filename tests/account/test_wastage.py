"""
Wastage of made-up vials; the figures of docs/background/wastage.md.

WHO's formulas are tested against print elsewhere.
"""

from fractions import Fraction

from tests.account.a_day import BALANCES, LOT, OTHER, TUESDAY, WEDNESDAY, at, drawn, given
from tests.account.ledger_entries import balances, entry

from thawline.account.balance import sheet, vial_sheets
from thawline.account.causes import Wastage
from thawline.account.wastage import (
    Sums,
    Usage,
    Wasted,
    combined_wastage,
    usage_by_vial,
    wastage_factor,
    waste_sheet,
)
from thawline.ledger import events as ev


def test_a_vial_is_issued_whole_on_its_first_day_and_its_own_rate_crosses_none():
    assert usage_by_vial(BALANCES) == {
        "HK47M": Usage(issued=5, given=4),
        "CM62T": Usage(issued=0, given=0),
        "RA93P": Usage(issued=4, given=1),
    }


def test_where_no_closed_vial_is_lost_only_what_is_left_in_open_ones_counts():
    assert combined_wastage(Fraction(0), 3, Fraction(1, 10)) == Fraction(1, 10)
    assert combined_wastage(Fraction(1, 4), 0, Fraction(1, 10)) == Fraction(1, 10)


def test_a_whole_vial_is_not_issued_yet():
    arrived = ev.VialsArrived(vials=("HK47M",), lot=LOT, expiry="2026-08", doses=10)

    assert usage_by_vial(balances([entry(arrived)])) == {}
    assert waste_sheet(balances([entry(arrived)])).usage == Usage(0, 0)


def test_broken_cartons_and_doses_from_nowhere_are_issued_when_they_end():
    tuesday = waste_sheet(BALANCES, first=TUESDAY, last=TUESDAY)

    assert tuesday.usage == Usage(issued=10, given=4)


def test_in_all_what_was_issued_was_given_wasted_or_missing():
    whole = waste_sheet(BALANCES)

    assert whole.usage == whole.cumulative == Usage(issued=14, given=6)
    assert whole.usage.wastage_rate == Fraction(8, 14)
    assert whole.usage.wastage_factor == Fraction(14, 6)


def test_one_lot_is_counted_for_itself():
    assert waste_sheet(BALANCES, OTHER).usage == Usage(issued=4, given=1)
    assert waste_sheet(BALANCES, OTHER).cumulative == Usage(issued=4, given=1)
    assert waste_sheet(BALANCES, OTHER).causes == (Wasted("leftover", Wastage.OPEN, 2),)


def test_causes_are_listed_with_the_most_first_and_told_apart_by_kind():
    whole = waste_sheet(BALANCES)

    assert whole.causes == (
        Wasted("broken", Wastage.CLOSED, 4),
        Wasted("leftover", Wastage.OPEN, 2),
        Wasted("spilled", Wastage.OPEN, 1),
    )
    assert whole.doses(Wastage.OPEN) == 3
    assert whole.doses(Wastage.CLOSED) == 4


def test_a_days_causes_are_those_of_that_day():
    wednesday = waste_sheet(BALANCES, first=WEDNESDAY, last=WEDNESDAY)

    assert wednesday.causes == (Wasted("leftover", Wastage.OPEN, 2),)
    assert wednesday.usage == Usage(issued=4, given=2)
    assert wednesday.cumulative == Usage(issued=14, given=6)


def test_a_dose_that_was_given_after_all_is_no_longer_wasted():
    wasted = ev.DoseWasted(place="syringe:XA-1", lot=LOT, doses=1, cause="spilled")
    after_all = ev.DoseGiven(
        person="DEMO-000001", dose_number=1, lot=LOT, doses_from="wasted:spilled"
    )

    assert waste_sheet(balances([entry(ARRIVED), entry(wasted), entry(after_all)])).causes == ()


def test_a_cause_nobody_listed_is_shown_and_counts_as_neither_kind():
    dropped = ev.DoseWasted(place="stock:freezer", lot=LOT, doses=3, cause="gremlins")
    found = waste_sheet(balances([entry(dropped)]))

    assert found.causes == (Wasted("gremlins", None, 3),)
    assert (found.doses(None), found.doses(Wastage.OPEN)) == (3, 0)


def test_a_vial_across_midnight_can_make_a_days_rate_negative_and_it_is_said():
    arrived = ev.VialsArrived(vials=("HK47M", "CM62T"), lot=LOT, expiry="2026-08", doses=4)
    evening = [entry(arrived, at(3, 14)), entry(drawn("HK47M", 1, 2, 3), at(3, 15))]
    evening += [entry(given("HK47M-01"), at(3, 16))]
    morning = [entry(drawn("CM62T", 1, 2, 3, 4), at(4, 14))]
    morning += [entry(given(f"HK47M-0{n}"), at(4, 15)) for n in (2, 3)]
    morning += [entry(given(f"CM62T-0{n}"), at(4, 15)) for n in (1, 2, 3, 4)]

    wednesday = waste_sheet(balances([*evening, *morning]), first=WEDNESDAY, last=WEDNESDAY)

    assert wednesday.usage == Usage(issued=4, given=6)
    assert wednesday.usage.wastage_rate == Fraction(-1, 2)
    assert wednesday.cumulative == Usage(issued=8, given=7)
    assert wednesday.says == (
        "More doses were given than issued on these days: vials opened before gave some of "
        "them. Read the cumulative rate."
    )


ARRIVED = ev.SyringesArrived(syringes=("XA-1", "XA-2"), lot=LOT)


def test_nothing_is_said_about_a_rate_that_is_not_negative():
    assert waste_sheet(BALANCES).says == ""
    assert waste_sheet({}).says == ""
    assert waste_sheet(balances([entry(ARRIVED), entry(given("XA-1"))])).says == ""


def test_there_is_no_rate_of_nothing_issued_and_no_factor_of_nothing_given():
    assert Usage(0, 0).wastage_rate is None
    assert Usage(0, 0).wastage_factor is None
    assert Usage(5, 0).wastage_rate == 1
    assert Usage(5, 0).wastage_factor is None
    assert wastage_factor(Fraction(0)) == 1


def test_ready_drawn_syringes_are_issued_when_they_are_given():
    used = balances([entry(ARRIVED, at(3, 14)), entry(given("XA-1"), at(4, 15))])

    assert waste_sheet(used, first=TUESDAY, last=TUESDAY).usage == Usage(0, 0)
    assert waste_sheet(used, first=WEDNESDAY, last=WEDNESDAY).usage == Usage(1, 1)


def test_sums_that_were_made_already_give_the_same_sheet():
    made = Sums(
        vial_sheets(BALANCES),
        sheet(BALANCES, first=TUESDAY, last=TUESDAY),
        sheet(BALANCES, last=TUESDAY),
    )
    alone = waste_sheet(BALANCES, first=TUESDAY, last=TUESDAY)
    assert waste_sheet(BALANCES, first=TUESDAY, last=TUESDAY, sums=made) == alone
