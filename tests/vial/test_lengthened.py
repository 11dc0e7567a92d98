"""Which corrections of the record buy a vial time, so that two people stand behind them."""

import pytest
from msgspec.structs import replace
from tests.vial.entries import taken_out
from tests.vial.stories import OPEN, THAWED, asked

from thawline.ledger import events as ev
from thawline.vial.lengthened import lengthens, lifts_a_hold

HELD = ev.VialHeld(vials=("HK47M",), why="shaken")
CAME = ev.VialsArrived(
    vials=("HK47M",), lot="ZZ-1041", expiry="2026-08", doses=8, held="carried too long"
)
SOFT = ev.ShipmentArrived(
    lot="ZZ-1041", expiry="2026-08", unit="freezer-1", vials=4, doses_per_vial=8, soft=True
)
SYRINGES = ev.SyringesArrived(syringes=("S-01",), lot="ZZ-1041", use_by_ms=5)


@pytest.mark.parametrize(
    ("before", "after", "longer"),
    [
        (OPEN, (*THAWED, "07:30 open"), True),
        ((*THAWED, "07:30 open"), OPEN, False),
        (OPEN, OPEN, False),
        ((*OPEN, "07:10 hold"), OPEN, True),
        (OPEN, (*OPEN, "07:10 hold"), False),
    ],
    ids=["opened later", "opened earlier", "no change", "no hold any more", "held"],
)
def test_a_correction_that_keeps_a_vial_longer_or_frees_it_buys_time(before, after, longer):
    assert lengthens(asked("08:00", *before), asked("08:00", *after)) is longer


def test_a_correction_by_which_a_vial_is_ready_sooner_buys_time():
    before = asked("06:41", "04:00 to-fridge", "06:35 to-table")

    after = asked("06:41", "04:00 to-fridge", "06:30 to-table")

    assert after.use_by < before.use_by
    assert lengthens(before, after) is True


def test_a_vial_that_was_not_known_to_be_ready_and_now_is_gains_time():
    unsure = ("04:00-05:00 to-fridge", "04:30-06:00 to-table")

    assert lengthens(asked("09:00", *unsure), asked("09:00", *THAWED)) is True


@pytest.mark.parametrize(
    ("before", "after", "lifts"),
    [
        (HELD, None, True),
        (HELD, replace(HELD, why="dropped"), True),
        (HELD, HELD, False),
        (ev.LotHeld(lot="ZZ-1041", why="withdrawn"), None, True),
        (CAME, replace(CAME, held=""), True),
        (CAME, replace(CAME, trips_used=1), False),
        (SOFT, replace(SOFT, soft=False), True),
        (SOFT, replace(SOFT, vials=5), False),
        (taken_out(held="soft"), taken_out(), True),
        (taken_out(), None, False),
        (SYRINGES, replace(SYRINGES, use_by_ms=9), True),
        (SYRINGES, SYRINGES, False),
    ],
)
def test_a_correction_that_ends_or_rewords_a_hold_is_noticed(before, after, lifts):
    assert lifts_a_hold(before, after) is lifts
