"""What the ledger's entries leave behind of a syringe: drawn, then given, wasted or missing."""

import pytest
from tests.cast import MINUTE
from tests.vial.entries import CODE, NOON, entry, folded, whats

from thawline.base.instants import to_ms
from thawline.ledger import events as ev
from thawline.vial.syringes import SYRINGE

FIRST, SECOND = f"{CODE}-01", f"{CODE}-02"
DRAWN = ev.DoseDrawn(vial=CODE, lot="ZZ-1041", syringes=(FIRST, SECOND))


def syringe(*events, code=FIRST, station="table-1"):
    return folded(SYRINGE, *events, station=station)[code]


def test_a_drawn_syringe_knows_its_vial_who_drew_it_and_where():
    state = syringe(DRAWN)

    assert (state.vial, state.lot, state.by) == (CODE, "ZZ-1041", "Hazel Rainmoor")
    assert (state.station, state.became, state.ready_drawn) == ("table-1", "drawn", False)


@pytest.mark.parametrize(
    ("event", "became"),
    [
        (
            ev.DoseGiven(person="DEMO-000001", dose_number=1, lot="ZZ-1041", syringe=FIRST),
            "given",
        ),
        (
            ev.DoseWasted(place=f"syringe:{FIRST}", lot="ZZ-1041", doses=1, cause="spilled"),
            "wasted",
        ),
        (
            ev.DoseNotFound(
                place=f"syringe:{FIRST}", lot="ZZ-1041", doses=1, why="?", second="Bryony"
            ),
            "missing",
        ),
    ],
)
def test_a_syringe_becomes_given_wasted_or_missing(event, became):
    states = folded(SYRINGE, DRAWN, event)

    assert (states[FIRST].became, states[SECOND].became) == (became, "drawn")


def test_a_check_shows_at_which_chair_the_syringe_was_last_seen():
    seen = ev.DoseChecked(person="DEMO-000001", syringe=FIRST, vial=None, may=True)

    states = folded(SYRINGE, DRAWN)
    after = folded(SYRINGE, DRAWN, seen, station="chair-2")

    assert states[FIRST].station == ""
    assert after[FIRST].station == "chair-2"


def test_doses_without_a_syringe_touch_none():
    at_the_chair = ev.DoseGiven(person="DEMO-000001", dose_number=1, lot="ZZ-1041", vial=CODE)
    of_the_vial = ev.DoseWasted(place=f"vial:{CODE}", lot="ZZ-1041", doses=1, cause="spilled")

    assert SYRINGE.keys(at_the_chair) == SYRINGE.keys(of_the_vial) == ()
    assert SYRINGE.keys(ev.Noted(says="a remark")) == ()


def test_a_syringe_held_by_itself_is_released_by_itself():
    held = ev.VialHeld(vials=(), why="dropped", syringes=(FIRST,))
    released = ev.VialReleased(vials=(), why="cap on", second="Bryony", syringes=(FIRST,))

    state = syringe(DRAWN, held, released)

    assert whats(state) == ["hold", "release"]
    assert [row.why for row in state.rows] == ["dropped", "cap on"]


def test_ready_drawn_syringes_carry_the_use_by_they_came_with():
    came = ev.SyringesArrived(
        syringes=("S-01",), lot="ZZ-1041", punctured_ms=1, drawn_by="Sorrel", use_by_ms=2
    )

    state = syringe(came, code="S-01")

    assert (state.vial, state.ready_drawn, state.use_by_ms, state.rows) == (None, True, 2, ())


@pytest.mark.parametrize(
    ("missing", "named"),
    [
        ("punctured_ms", "puncture time"),
        ("drawn_by", "who drew it"),
        ("use_by_ms", "use-by"),
    ],
)
def test_ready_drawn_syringes_with_a_gap_are_held(missing, named):
    told = {"punctured_ms": 1, "drawn_by": "Sorrel", "use_by_ms": 2, missing: None}
    came = ev.SyringesArrived(syringes=("S-01",), lot="ZZ-1041", **told)

    (row,) = syringe(came, code="S-01").rows

    assert (row.what.value, row.why) == ("hold", f"not known: {named}")


def test_a_syringe_nobody_spoke_of_before_is_kept():
    given = ev.DoseGiven(person="DEMO-000001", dose_number=1, lot=None, syringe="CM62T-01")

    state = syringe(given, code="CM62T-01")

    assert (state.vial, state.lot, state.became) == ("CM62T", "?", "given")


def test_a_syringe_is_where_it_was_last_seen_until_it_ends():
    checked = ev.DoseChecked(person="DEMO-000001", syringe=f"{CODE}-01", vial=None, may=True)
    given = ev.DoseGiven(person="DEMO-000001", dose_number=1, lot=None, syringe=f"{CODE}-01")

    state = syringe(DRAWN, checked, given)

    assert [row.seq for row in state.seen] == [1, 2]
    assert state.ended.seq == 3


def test_a_warm_table_is_a_fact_of_the_syringe_on_it():
    read = ev.ReadingTaken(unit="table-1", temp_mc=25_600, syringes=(f"{CODE}-01",))

    (row,) = syringe(DRAWN, read).rows

    assert (row.what.value, row.room_mc) == ("room-read", 25_600)


def test_all_that_is_not_known_of_a_ready_drawn_syringe_is_said():
    came = ev.SyringesArrived(syringes=("S-01",), lot="ZZ-1041", drawn_by="Sorrel")

    (row,) = syringe(came, code="S-01").rows

    assert row.why == "not known: puncture time, use-by"


def test_a_ready_drawn_syringe_scanned_before_it_was_received_begins_as_it_is_received():
    seen = ev.DoseChecked(person="DEMO-000001", syringe="S-01", vial=None, may=True)
    came = ev.SyringesArrived(
        syringes=("S-01",), lot="ZZ-1041", punctured_ms=1, drawn_by="Sorrel", use_by_ms=2
    )

    state = syringe(seen, came, code="S-01")

    assert (state.lot, state.became) == ("ZZ-1041", "drawn")
    assert state.drawn_lo_ms == to_ms(NOON + MINUTE)


def test_a_syringe_scanned_before_its_drawing_was_recorded_begins_as_it_is_drawn():
    seen = ev.DoseChecked(person="DEMO-000001", syringe=FIRST, vial=None, may=True)
    before = SYRINGE.step(FIRST, None, entry(seen, 1, station="chair-2", by="Sorrel"))

    after = SYRINGE.step(FIRST, before, entry(DRAWN, 2, station="table-1"))

    assert (after.lot, after.by, after.station) == ("ZZ-1041", "Hazel Rainmoor", "table-1")
    assert after.drawn_lo_ms == after.drawn_hi_ms == to_ms(NOON + 2 * MINUTE)


def test_a_syringe_was_last_seen_at_the_chair_where_it_was_checked():
    seen = ev.DoseChecked(person="DEMO-000001", syringe=FIRST, vial=None, may=True)
    drawn = syringe(DRAWN)

    there = SYRINGE.step(FIRST, drawn, entry(seen, 1, station="chair-2"))

    assert (drawn.station, there.station) == ("table-1", "chair-2")
    assert SYRINGE.step(FIRST, there, entry(seen, 2)).station == "chair-2"


def test_a_ready_drawn_syringe_is_drawn_as_it_comes():
    came = ev.SyringesArrived(
        syringes=("S-01",), lot="ZZ-1041", punctured_ms=1, drawn_by="Sorrel", use_by_ms=2
    )

    state = syringe(came, code="S-01")

    assert (state.became, state.drawn_lo_ms, state.drawn_hi_ms) == (
        "drawn",
        to_ms(NOON),
        to_ms(NOON),
    )
