"""Which corrections buy a vial time; when in doubt they do. The figures are made up."""

from dataclasses import replace
from datetime import datetime, timedelta

import pytest
from msgspec.structs import replace as replace_event

from thawline.base.instants import instant
from thawline.ledger.events import (
    LotHeld,
    LotReleased,
    Noted,
    ReadingTaken,
    ShipmentArrived,
    SyringesArrived,
    UnitWarmed,
    VialHeld,
    VialMoved,
    VialReleased,
)
from thawline.vial.lengthened import lengthens, lifts_a_hold
from thawline.vial.reckon import Reckoning, State

NOON = instant(datetime.fromisoformat("2026-02-03T12:00:00-06:00"))
SECOND = timedelta(seconds=1)
READY = Reckoning(
    state=State.READY,
    usable=True,
    ready_at=NOON,
    use_by=NOON + 3600 * SECOND,
    set_by="room",
    set_by_item="C2",
    clocks=(),
    findings=(),
)
MOVED = VialMoved(vials=("HK47M",), to="fridge", lot="ZZ-1041", expiry="2026-08")
SOFT = replace_event(MOVED, held="soft")
HELD = VialHeld(vials=("HK47M",), why="shaken")
RELEASED = LotReleased(lot="ZZ-1041", why="cleared", second="Bryony")
DRAWN = SyringesArrived(syringes=("S-01",), lot="ZZ-1041", use_by_ms=1000)
WARMED = UnitWarmed(unit="f1", vials=("HK47M",), lots=("ZZ-1041",))
READ = ReadingTaken(unit="table-1", temp_mc=25_600, vials=("HK47M",))
CAME = ShipmentArrived(lot="ZZ-1041", expiry="2026-08", unit="f1", vials=96, doses_per_vial=10)


@pytest.mark.parametrize(
    ("change", "bought"),
    [
        ({}, False),
        ({"use_by": READY.use_by + SECOND}, True),
        ({"use_by": READY.use_by - SECOND}, False),
        ({"ready_at": NOON - SECOND}, True),
        ({"ready_at": NOON + SECOND}, False),
        ({"ready_at": None}, False),
        ({"use_by": None}, True),
        ({"usable": False, "use_by": READY.use_by + SECOND}, True),
        ({"usable": False, "use_by": None}, False),
    ],
    ids=[
        *("nothing", "used a second longer", "a second less", "opened a second sooner"),
        *("a second later", "never ready", "use-by not known", "longer and past"),
        "neither known nor usable",
    ],
)
def test_a_second_more_is_bought_time(change, bought):
    assert lengthens(READY, replace(READY, **change)) is bought


def test_a_vial_that_was_not_usable_and_would_be_is_bought_time():
    assert lengthens(replace(READY, usable=False), READY)
    assert not lengthens(replace(READY, usable=False), replace(READY, usable=False))


def test_a_use_by_that_was_not_known_and_would_be_is_bought_time():
    assert lengthens(replace(READY, use_by=None), READY)


def test_a_vial_that_was_not_to_be_opened_and_could_be_is_bought_time():
    assert lengthens(replace(READY, ready_at=None), READY)


@pytest.mark.parametrize(
    ("before", "after", "lifted"),
    [
        (HELD, None, True),
        (HELD, VialHeld(vials=(), why="shaken"), True),
        (HELD, VialHeld(vials=("HK47M",), why="shaken"), False),
        (LotHeld(lot="ZZ-1041", why="recall"), LotHeld(lot="ZZ-1014", why="recall"), True),
        (LotHeld(lot="ZZ-1041", why="recall"), None, True),
        (MOVED, None, False),
        (SOFT, MOVED, True),
        (replace_event(CAME, soft=True), CAME, True),
        (CAME, None, False),
        (CAME, replace_event(CAME, vials=95), False),
        (CAME, replace_event(CAME, expiry="2026-09"), True),
        (SOFT, replace_event(SOFT, room_mc=5000), False),
        (DRAWN, replace_event(DRAWN, use_by_ms=2000), True),
        (Noted(says="quiet"), None, False),
        (RELEASED, None, False),
        (RELEASED, replace_event(RELEASED, lot="ZZ-1014"), True),
        (None, RELEASED, True),
        (None, VialReleased(vials=("HK47M",), why="cleared", second="Bryony"), True),
        (None, MOVED, False),
        (WARMED, None, True),
        (WARMED, replace_event(WARMED, lots=()), True),
        (READ, None, True),
        (READ, replace_event(READ, vials=(), syringes=("HK47M-01",)), True),
        (replace_event(READ, vials=(), syringes=("HK47M-01",)), None, True),
        (replace_event(READ, vials=()), None, False),
    ],
    ids=["undone", "of fewer vials", "the same", "of another lot", "of a lot, undone", "a move",
         "of a soft carton's vial", "of a soft carton", "a carton",
         "a count", "a label", "a held vial moved", "drawn syringes", "a remark",
         "a release taken back", "a release of another lot", "a release brought back",
         "of a vial", "a move brought back", "a warm freezer", "of fewer cartons", "a table",
         "of another thing at a table", "of a syringe at a table", "an empty table"],
)  # fmt: skip
def test_a_hold_is_lifted_by_anything_that_holds_less(before, after, lifted):
    assert lifts_a_hold(before, after) is lifted
