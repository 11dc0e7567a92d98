"""
Which vials were inside: worked by hand on the Tuesday of the cast, times as minutes after noon.

A thing may have been inside where any reading of its times has it there, and surely only where
all of them do.
"""

import pytest
from msgspec.structs import replace
from tests.vial.entries import CODE, NOON, entry, taken_out

from thawline.base.instants import to_ms
from thawline.ledger import events as ev
from thawline.store.inside import Kept, Span, Thing, inside
from thawline.store.units import Followed, StorageUnit
from thawline.vial.folds import CARTON, VIAL
from thawline.vial.syringes import SYRINGE

FREEZER, FRIDGE, SECOND, TABLE = UNITS = [
    StorageUnit(name, band, Followed.BY_HAND)
    for name, band in (
        ("freezer-1", "frozen"),
        ("fridge-1", "refrigerator"),
        ("fridge-2", "refrigerator"),
        ("table-1", "room"),
    )
]
CAME = ev.ShipmentArrived(
    lot="ZZ-1041", expiry="2026-08", unit="freezer-1", vials=40, doses_per_vial=8
)
OUT = taken_out(unit="fridge-1")
TO_TABLE = ev.VialMoved(
    vials=(CODE,), to="table", lot="ZZ-1041", expiry="2026-08", unit="table-1"
)


def minute(after_noon):
    return to_ms(NOON) + after_noon * 60_000


def span(first, last):
    return Span(minute(first), minute(last))


def kept(*events, occurred=None, station=""):
    """Return what is kept after the events, a minute apart, or as `occurred` says."""
    states = {fold: {} for fold in (VIAL, CARTON, SYRINGE)}
    for number, event in enumerate(events):
        written = entry(event, number, station=station)
        if occurred and number in occurred:
            lo, hi = occurred[number]
            written = replace(written, lo_ms=minute(lo), hi_ms=minute(hi))
        for fold, held in states.items():
            for key in fold.keys(event):
                held[key] = fold.step(key, held.get(key), written)
    return Kept(
        list(states[VIAL].items()),
        list(states[CARTON].values()),
        list(states[SYRINGE].items()),
    )


def times(unit, held, asked=(0, 60)):
    """Return what was inside: the code, when it may have been and when it surely was."""
    found = inside(unit, UNITS, held, span(*asked))
    return [(each.code, list(each.may), list(each.surely)) for each in found]


def test_a_vial_was_in_the_freezer_then_in_the_refrigerator_then_on_the_table():
    held = kept(CAME, OUT, TO_TABLE)

    assert times(FREEZER, held)[0] == (CODE, [span(0, 1)], [span(0, 1)])
    assert times(FRIDGE, held) == [(CODE, [span(1, 2)], [span(1, 2)])]
    assert times(TABLE, held) == [(CODE, [span(2, 60)], [span(2, 60)])]


def test_the_sealed_vials_of_a_lot_are_counted_without_those_taken_out():
    (_, carton) = inside(FREEZER, UNITS, kept(CAME, OUT), span(0, 60))

    assert (carton.thing, carton.code, carton.vials, carton.doses) == (
        *(Thing.CARTON, "ZZ-1041"),
        39,
        312,
    )


def test_the_other_refrigerator_never_held_it():
    assert times(SECOND, kept(CAME, OUT)) == []


def test_an_uncertain_move_is_taken_at_both_of_its_bounds():
    held = kept(CAME, OUT, TO_TABLE, occurred={1: (5, 10), 2: (20, 30)})

    assert times(FRIDGE, held) == [(CODE, [span(5, 30)], [span(10, 20)])]
    assert times(FREEZER, held)[0] == (CODE, [span(0, 10)], [span(0, 5)])


def test_moves_whose_order_is_not_known_may_have_left_it_in_either_place():
    held = kept(CAME, OUT, TO_TABLE, occurred={1: (5, 30), 2: (20, 40)})

    assert times(FRIDGE, held) == [(CODE, [span(5, 60)], [])]
    assert times(TABLE, held) == [(CODE, [span(20, 60)], [])]


@pytest.mark.parametrize("unit", [FRIDGE, SECOND], ids=["one", "the other"])
def test_where_nobody_said_which_refrigerator_it_may_be_in_any(unit):
    held = kept(CAME, taken_out(unit=""))

    assert times(unit, held) == [(CODE, [span(1, 60)], [])]
    assert times(TABLE, held) == []


def test_a_table_that_the_site_has_not_named_may_be_any_table():
    held = kept(CAME, OUT, replace(TO_TABLE, unit="chair-7"))

    assert times(TABLE, held) == [(CODE, [span(2, 60)], [])]


@pytest.mark.parametrize(
    "end",
    [
        ev.VialDiscarded(vial=CODE, lot="ZZ-1041", doses=8, cause="broken"),
        ev.VialSent(
            vials=(CODE,), lot="ZZ-1041", doses=(8,), to_site="quillbeck", by_mode="cart"
        ),
    ],
    ids=["discarded", "sent"],
)
def test_a_vial_that_was_discarded_or_sent_is_not_inside_any_more(end):
    assert times(FRIDGE, kept(CAME, OUT, end)) == [(CODE, [span(1, 2)], [span(1, 2)])]


def test_of_two_shipments_a_vial_may_have_come_with_either():
    held = kept(CAME, CAME, OUT)

    assert times(FREEZER, held)[0] == (CODE, [span(0, 2)], [span(1, 2)])
    assert times(FREEZER, held)[1] == ("ZZ-1041", [span(0, 60)], [span(1, 60)])


def test_a_vial_of_a_carton_that_nobody_received_was_there_when_it_was_taken_out():
    assert times(FREEZER, kept(OUT), (0, 0)) == [(CODE, [span(0, 0)], [span(0, 0)])]


def test_a_vial_that_came_thawed_was_in_the_refrigerator_it_was_put_in():
    came = ev.VialsArrived(
        vials=(CODE,), lot="ZZ-1041", expiry="2026-08", doses=8, unit="fridge-2"
    )

    assert times(SECOND, kept(came)) == [(CODE, [span(0, 60)], [span(0, 60)])]


def test_a_drawn_syringe_lies_on_the_table_until_it_is_given():
    drawn = ev.DoseDrawn(vial=CODE, lot="ZZ-1041", syringes=("HK47M-01", "HK47M-02"))
    given = ev.DoseGiven(person="DEMO-000001", dose_number=1, lot="ZZ-1041", syringe="HK47M-01")
    held = kept(CAME, OUT, TO_TABLE, drawn, given, station="table-1")

    found = [each for each in times(TABLE, held) if each[0] != CODE]
    assert found == [
        ("HK47M-01", [span(3, 4)], [span(3, 4)]),
        ("HK47M-02", [span(3, 60)], [span(3, 60)]),
    ]
    assert [code for code, *_ in times(FRIDGE, held)] == [CODE]


def test_an_instant_finds_what_was_there_then():
    held = kept(CAME, OUT, TO_TABLE)

    assert [code for code, *_ in times(FRIDGE, held, (1, 1))] == [CODE]
    assert times(FRIDGE, held, (3, 3)) == []
