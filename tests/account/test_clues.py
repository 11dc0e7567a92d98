"""Each trace of a missing dose: what makes it one, and the fact that makes it none."""

from datetime import timedelta

import pytest
from tests.account.missing_day import (
    LOT,
    MISSING,
    VIAL_SHORT,
    WASTE,
    WITH_IT,
    WITHOUT,
    checked,
    gave,
    then,
    traces,
)

from thawline.account.clues import FINDERS, Clue
from thawline.account.searching import Gap, Record, Search, VialSheets
from thawline.ledger import events as ev

DAY = timedelta(days=1)
UNSEEN = Clue(
    "drawn-not-seen",
    "draw table, 13:58",
    "HK47M-07 was drawn there and not scanned since. Look through the trays, the sharps box "
    "and the hold tray",
)
OTHER_VIAL = then(ev.VialsArrived(vials=("CM62T",), lot=LOT, expiry="2026-08", doses=2), 12, 30)
OTHER_LOT = then(
    ev.VialsArrived(vials=("RA93P",), lot="ZZ-1107", expiry="2026-08", doses=2), 12, 30
)


def _codes(*entries, **more) -> list[str]:
    return [clue.code for clue in traces(*entries, **more)]


def _drawn(vial: str, *numbers: int, extra: int = 0, minute: int = 10):
    codes = tuple(f"{vial}-{number:02d}" for number in numbers)
    event = ev.DoseDrawn(vial=vial, lot=LOT, syringes=codes, extra=extra)
    return then(event, 14, minute)


def test_a_syringe_nobody_scanned_again_is_looked_for_where_it_was_drawn():
    assert traces() == [UNSEEN]


def test_a_person_checked_with_it_and_no_dose_recorded_names_chair_and_time():
    assert traces(WITH_IT) == [
        Clue(
            "checked-with-it",
            "chair 3, 14:02",
            "DEMO-000412 was checked with HK47M-07, nothing is recorded since",
        )
    ]


@pytest.mark.parametrize(
    "answer",
    [
        gave("DEMO-000412", 14, 3, source="syringe:HK47M-01"),
        then(ev.DoseNotGiven(person="DEMO-000412", why="fainted"), 14, 9),
    ],
    ids=["a dose", "none given"],
)
def test_a_person_whose_check_was_answered_is_no_trace(answer):
    assert "checked-with-it" not in _codes(WITH_IT, answer)


def test_a_check_that_was_refused_is_no_trace():
    refused = checked("DEMO-000412", "HK47M-07", "14:02", "chair 3", may=False)

    assert _codes(refused) == []


def test_a_person_checked_twice_is_one_trace_at_the_later_place():
    again = checked("DEMO-000412", "HK47M-07", "14:20", "chair 7")

    assert [clue.place for clue in traces(WITH_IT, again)] == ["chair 7, 14:20"]


def test_a_person_checked_without_a_syringe_may_have_had_it():
    assert traces(WITHOUT) == [
        Clue(
            "checked-no-dose",
            "chair 5, 14:05",
            'DEMO-000420 was checked there: no dose is recorded, nor "none given"',
        ),
        UNSEEN,
    ]


def test_a_person_checked_before_it_was_drawn_cannot_have_had_it():
    assert _codes(checked("DEMO-000420", None, "13:57", "chair 5")) == ["drawn-not-seen"]
    assert "checked-no-dose" in _codes(checked("DEMO-000420", None, "13:58", "chair 5"))


def test_a_person_checked_with_another_open_syringe_explains_that_one():
    other = checked("DEMO-000420", "HK47M-08", "14:05", "chair 5")

    assert "checked-no-dose" not in _codes(_drawn("HK47M", 8), other)


def test_a_person_checked_with_a_syringe_that_another_had_may_have_had_this_one():
    other = checked("DEMO-000420", "HK47M-08", "14:12", "chair 5")
    had = gave("DEMO-000421", 14, 13, source="syringe:HK47M-08")

    assert "checked-no-dose" in _codes(_drawn("HK47M", 8), other, had)


@pytest.mark.parametrize(
    ("vial", "others", "found"),
    [("HK47M", (), True), ("CM62T", (OTHER_VIAL,), False), ("RA93P", (OTHER_LOT,), False)],
    ids=["its own vial", "another vial", "another lot"],
)
def test_a_check_that_names_a_vial_is_a_trace_for_that_vial_only(vial, others, found):
    check = checked("DEMO-000420", None, "14:05", "chair 5", vial=vial)

    assert ("checked-no-dose" in _codes(check, others=others)) is found


def test_a_check_of_another_lot_explains_no_carton_of_this_one():
    carton = Gap("stock:freezer", LOT, 10)
    check = checked("DEMO-000420", None, "14:05", "chair 5", vial="RA93P")

    assert _codes(check, gap=carton, others=(OTHER_LOT,)) == []
    assert _codes(WITHOUT, gap=carton) == ["checked-no-dose"]


def test_a_dose_given_from_nothing_in_the_book_may_be_the_one():
    assert traces(gave("DEMO-000500", 14, 30))[0] == Clue(
        "given-from-nowhere",
        "chair 5, 14:30",
        "the dose of DEMO-000500 came from nothing in the book: perhaps this one",
    )


@pytest.mark.parametrize(
    ("dose", "found"),
    [
        (gave("DEMO-000500", 14, 30, lot=None), True),
        (gave("DEMO-000500", 14, 30, lot="ZZ-1107"), False),
        (gave("DEMO-000500", 14, 30, source="syringe:HK47M-08"), False),
    ],
    ids=["lot not known", "another lot", "from the book"],
)
def test_only_a_dose_without_a_source_that_can_be_of_the_lot_is_a_trace(dose, found):
    assert ("given-from-nowhere" in _codes(dose)) is found


def test_waste_booked_to_the_vial_may_be_its_open_syringe():
    assert traces(WITH_IT, WASTE)[1] == Clue(
        "waste-without-syringe",
        "draw table, 14:40",
        "1 wasted (spilled) booked to vial HK47M: perhaps HK47M-07",
    )


@pytest.mark.parametrize(
    ("place", "cause", "found"),
    [
        ("vial:HK47M", "gremlins", True),
        ("vial:HK47M", "broken", False),
        ("vial:CM62T", "spilled", False),
        ("syringe:HK47M-08", "spilled", False),
    ],
    ids=["cause not listed", "vial never opened", "another vial", "with its syringe"],
)
def test_only_waste_of_its_open_vial_without_a_syringe_is_a_trace(place, cause, found):
    waste = then(ev.DoseWasted(place=place, lot=LOT, doses=1, cause=cause), 14, 40)

    assert ("waste-without-syringe" in _codes(waste)) is found


def test_a_vial_with_more_draws_than_doses_may_have_one_recorded_twice():
    over = _drawn("HK47M", 8, extra=1)

    assert traces(WITH_IT, over)[1] == Clue(
        "drawn-twice",
        "vial HK47M",
        "more draws than its 10 doses: one may be recorded twice",
    )
    assert "drawn-twice" not in _codes(WITH_IT, _drawn("HK47M", 8))


def test_another_vial_with_too_many_draws_says_nothing_about_a_syringe():
    assert _codes(WITH_IT, _drawn("CM62T", 1, extra=1), others=(OTHER_VIAL,)) == [
        "checked-with-it"
    ]


def test_a_vial_found_short_may_have_held_less():
    assert traces(gap=VIAL_SHORT) == [
        Clue(
            "vial-short",
            "vial HK47M",
            "drawn from, and the book has 9 left in it: it may have held less",
        )
    ]


def test_a_vial_that_was_never_drawn_from_is_not_short_by_drawing():
    whole = Gap("vial:CM62T", LOT, 1)

    assert _codes(gap=whole, others=(OTHER_VIAL,)) == []


def test_a_vial_that_the_book_has_empty_is_not_short_by_drawing():
    emptied = ev.VialDiscarded(vial="HK47M", lot=LOT, doses=9, cause="leftover")
    nearly = ev.VialDiscarded(vial="HK47M", lot=LOT, doses=8, cause="leftover")

    assert _codes(then(emptied, 15, 0), gap=VIAL_SHORT) == []
    assert _codes(then(nearly, 15, 0), gap=VIAL_SHORT) == ["vial-short"]


def test_another_vial_of_the_lot_with_too_many_draws_may_have_its_draw():
    over = _drawn("CM62T", 1, extra=1)

    assert traces(over, gap=VIAL_SHORT, others=(OTHER_VIAL,))[0] == Clue(
        "other-vial-over",
        "vial CM62T",
        "more draws than its 2 doses: one may belong to HK47M",
    )


def test_a_vial_of_another_lot_or_with_its_own_draws_only_is_no_trace_of_this_one():
    over = then(
        ev.DoseDrawn(vial="RA93P", lot="ZZ-1107", syringes=("RA93P-01",), extra=1), 14, 10
    )

    assert _codes(over, gap=VIAL_SHORT, others=(OTHER_LOT,)) == ["vial-short"]
    assert _codes(_drawn("CM62T", 1), gap=VIAL_SHORT, others=(OTHER_VIAL,)) == ["vial-short"]
    assert _codes(_drawn("HK47M", 8, extra=1), gap=VIAL_SHORT) == ["vial-short"]


@pytest.mark.parametrize(
    ("counted", "book", "found"),
    [
        (69, 96, True),
        (916, 196, True),
        (169, 196, True),
        (9, 90, True),
        (90, 91, False),
        (11, 11, False),
        (169, 691, False),
        (100, 96, False),
    ],
)
def test_two_swapped_digits_explain_a_count(counted, book, found):
    gap = Gap("stock:freezer", LOT, book - counted, counted, book)

    assert ("count-digits" in _codes(gap=gap)) is found


def test_the_swapped_digits_are_shown():
    (clue,) = traces(gap=Gap("stock:freezer", LOT, 27, 69, 96))

    assert clue.place == "the count of stock:freezer"
    assert clue.reason == "counted 69, the book has 96: two digits may be swapped"


def _shipped(minute: int, vials: int = 4):
    shipment = ev.ShipmentArrived(
        lot=LOT, expiry="2026-08", unit="freezer", vials=vials, doses_per_vial=10
    )
    return then(shipment, 12, minute, "door")


CARTONS = Gap("stock:freezer", LOT, 40)


def test_a_shipment_booked_in_twice_is_named_with_both_times():
    assert traces(_shipped(10), _shipped(20), gap=CARTONS) == [
        Clue(
            "recorded-twice",
            "door, 12:20",
            "the same doses were booked in before, door, 12:10",
        )
    ]


@pytest.mark.parametrize(
    "second", [_shipped(21), _shipped(20, vials=5)], ids=["much later", "another number"]
)
def test_two_shipments_apart_are_two_shipments(second):
    assert traces(_shipped(10), second, gap=CARTONS) == []


def test_one_ready_drawn_syringe_booked_in_twice_is_named():
    arrived = ev.SyringesArrived(syringes=("XA-1",), lot=LOT)
    gap = Gap("syringe:XA-1", LOT, 2)

    assert _codes(then(arrived, 12, 5), then(arrived, 12, 6), gap=gap) == ["recorded-twice"]


def test_what_leaves_an_account_twice_is_no_reason_why_it_holds_too_much():
    assert _codes(WASTE, WASTE, gap=VIAL_SHORT) == ["vial-short"]


def test_what_is_booked_in_elsewhere_is_no_double_of_this_account():
    elsewhere = Gap("stock:fridge", LOT, 40)

    assert traces(_shipped(10), _shipped(20), gap=elsewhere) == []


def test_a_trace_of_an_earlier_day_is_given_with_its_date():
    next_day = then(ev.Noted(says="morning"), 12 + 24, 0)

    assert [clue.place for clue in traces(WITH_IT, next_day)] == ["chair 3, 2026-02-03 14:02"]


def test_a_trace_without_a_station_names_who_wrote_it():
    nowhere = checked("DEMO-000412", "HK47M-07", "14:02", "")

    assert [clue.place for clue in traces(nowhere)] == ["rowan, 14:02"]


def test_every_trace_is_looked_for_by_its_own_code():
    assert MISSING.account == "syringe:HK47M-07"
    assert len(FINDERS) == 10


def test_a_trace_of_the_evening_before_says_its_own_date():
    late = then(ev.DoseDrawn(vial="HK47M", lot=LOT, syringes=("HK47M-07",)), 20 - 24, 0)
    record = Record([late, then(ev.Noted(says="quiet"), 9, 0)])
    search = Search(MISSING, record, VialSheets(()), frozenset(), DAY)

    assert search.place(late) == "draw table, 2026-02-02 20:00"  # 02:00 on the 3rd in UTC
