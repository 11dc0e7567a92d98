"""Every event that moves doses takes from one account what it gives to another."""

import pytest

from thawline.account.postings import Posting, postings
from thawline.base.errors import RecordError
from thawline.ledger import events as ev

LOT = "ZZ-1041"
SHIPMENT = ev.ShipmentArrived(
    lot=LOT, expiry="2026-08", unit="freezer 1", vials=3, doses_per_vial=10
)
OUT_OF_THE_CARTON = ev.VialMoved(
    vials=("HK47M", "CM62T"),
    to="fridge",
    lot=LOT,
    expiry="2026-08",
    from_unit="freezer 1",
    doses=10,
)
DRAWN = ev.DoseDrawn(vial="HK47M", lot=LOT, syringes=("HK47M-01", "HK47M-02"))
MOVES = {
    "a shipment comes from outside into its storage unit": (
        SHIPMENT,
        {("outside", -30), ("stock:freezer 1", 30)},
    ),
    "thawed vials come from outside under their own codes": (
        ev.VialsArrived(vials=("HK47M", "CM62T"), lot=LOT, expiry="2026-08", doses=9),
        {("outside", -18), ("vial:HK47M", 9), ("vial:CM62T", 9)},
    ),
    "vials from another site name it as where they come from": (
        ev.VialsArrived(
            vials=("HK47M",), lot=LOT, expiry="2026-08", doses=10, from_site="oddmoor"
        ),
        {("outside:oddmoor", -10), ("vial:HK47M", 10)},
    ),
    "ready-drawn syringes hold one dose each": (
        ev.SyringesArrived(syringes=("XA-1", "XA-2"), lot=LOT),
        {("outside", -2), ("syringe:XA-1", 1), ("syringe:XA-2", 1)},
    ),
    "vials taken out of a carton leave the unit's stock": (
        OUT_OF_THE_CARTON,
        {("stock:freezer 1", -20), ("vial:HK47M", 10), ("vial:CM62T", 10)},
    ),
    "a draw moves one dose a syringe": (
        DRAWN,
        {("vial:HK47M", -2), ("syringe:HK47M-01", 1), ("syringe:HK47M-02", 1)},
    ),
    "a dose given leaves its syringe": (
        ev.DoseGiven(
            person="DEMO-000001",
            dose_number=1,
            lot=LOT,
            syringe="HK47M-01",
            doses_from="syringe:HK47M-01",
        ),
        {("syringe:HK47M-01", -1), ("given", 1)},
    ),
    "a dose wasted goes to the account of its cause": (
        ev.DoseWasted(place="syringe:HK47M-02", lot=LOT, doses=1, cause="spilled"),
        {("syringe:HK47M-02", -1), ("wasted:spilled", 1)},
    ),
    "a discarded vial's doses go to the account of their cause": (
        ev.VialDiscarded(vial="HK47M", lot=LOT, doses=4, cause="leftover"),
        {("vial:HK47M", -4), ("wasted:leftover", 4)},
    ),
    "vials sent away are in transit": (
        ev.VialSent(
            vials=("HK47M", "CM62T"),
            lot=LOT,
            doses=(10, 8),
            to_site="oddmoor",
            by_mode="vehicle",
        ),
        {("vial:HK47M", -10), ("vial:CM62T", -8), ("transit", 18)},
    ),
    "a dose that two people cannot find is missing": (
        ev.DoseNotFound(
            place="syringe:HK47M-02", lot=LOT, doses=1, why="not in the tray", second="sorrel"
        ),
        {("syringe:HK47M-02", -1), ("missing", 1)},
    ),
}


@pytest.mark.parametrize(("event", "moved"), MOVES.values(), ids=MOVES)
def test_what_leaves_one_account_comes_to_another(event, moved):
    posted = postings(event)

    assert {(p.account, p.doses) for p in posted} == moved
    assert {p.lot for p in posted} == {LOT}
    assert sum(p.doses for p in posted) == 0


def test_an_eleventh_dose_comes_from_extra_and_not_from_the_vial():
    drawn = ev.DoseDrawn(vial="HK47M", lot=LOT, syringes=("HK47M-10", "HK47M-11"), extra=1)

    assert set(postings(drawn)) == {
        Posting("vial:HK47M", LOT, -1),
        Posting("syringe:HK47M-10", LOT, 1),
        Posting("extra", LOT, -1),
        Posting("syringe:HK47M-11", LOT, 1),
    }


def test_every_dose_of_a_draw_can_be_extra():
    drawn = ev.DoseDrawn(vial="HK47M", lot=LOT, syringes=("HK47M-11",), extra=1)

    assert set(postings(drawn)) == {
        Posting("extra", LOT, -1),
        Posting("syringe:HK47M-11", LOT, 1),
    }


def test_a_dose_given_from_nowhere_in_the_book_is_extra():
    given = ev.DoseGiven(person="DEMO-000001", dose_number=1, lot=LOT)

    assert set(postings(given)) == {Posting("extra", LOT, -1), Posting("given", LOT, 1)}


def test_a_dose_given_of_a_lot_nobody_knows_leaves_every_lots_book_alone():
    given = ev.DoseGiven(person="DEMO-000001", dose_number=1, lot=None, doses_from="syringe:X")

    assert {p.lot for p in postings(given)} == {"?"}
    assert {p.account for p in postings(given)} == {"extra", "given"}


@pytest.mark.parametrize(
    "event",
    [
        ev.VialMoved(vials=("HK47M",), to="table", lot=LOT, expiry="2026-08"),
        ev.VialPunctured(vial="HK47M"),
        ev.CountTaken(place="vial:HK47M", lot=LOT, doses=9, book=10),
        ev.VialDiscarded(vial="HK47M", lot=LOT, doses=0, cause="leftover"),
        ev.Noted(says="the hall is hot"),
    ],
    ids=["moved between places", "opened", "counted", "discarded empty", "remark"],
)
def test_nothing_is_posted_when_no_dose_moves(event):
    assert postings(event) == ()


def test_doses_below_zero_are_refused_by_their_number():
    backwards = ev.DoseWasted(place="vial:HK47M", lot=LOT, doses=-1, cause="spilled")

    with pytest.raises(RecordError) as refused:
        postings(backwards)

    assert refused.value.says == "doses below zero: -1 from vial:HK47M to wasted:spilled"
    assert refused.value.advice == (
        "count doses from 0 up; correct the wrong entry instead of reversing it"
    )


@pytest.mark.parametrize("extra", [-1, 2], ids=["below zero", "more than were drawn"])
def test_extra_doses_are_some_of_those_drawn(extra):
    drawn = ev.DoseDrawn(vial="HK47M", lot=LOT, syringes=("HK47M-11",), extra=extra)

    with pytest.raises(RecordError) as refused:
        postings(drawn)

    assert refused.value.says == f"extra doses that cannot be: {extra} of 1 drawn from HK47M"
    assert refused.value.advice == "count only the syringes drawn beyond what the book held"


def test_vials_sent_need_the_doses_of_each():
    sent = ev.VialSent(
        vials=("HK47M", "CM62T"), lot=LOT, doses=(10,), to_site="oddmoor", by_mode="vehicle"
    )

    with pytest.raises(RecordError) as refused:
        postings(sent)

    assert refused.value.says == "2 vials sent with doses for 1"
    assert refused.value.advice == "give the doses in each vial, in the vials' order"


def test_an_account_name_keeps_clear_of_the_sign_between_account_and_lot():
    shipment = ev.ShipmentArrived(
        lot=LOT, expiry="2026-08", unit="a|b", vials=1, doses_per_vial=1
    )

    with pytest.raises(RecordError) as refused:
        postings(shipment)

    assert refused.value.says == "account with a | in its name: 'stock:a|b'"
    assert refused.value.advice == "use another name"
