"""What the ledger's entries leave behind of a vial, a lot and a sealed carton."""

import pytest
from msgspec.structs import replace
from tests.cast import MINUTE, at
from tests.vial.entries import CODE, NOON, entry, folded, taken_out, whats

from thawline.base.instants import to_ms
from thawline.ledger import events as ev
from thawline.ledger.trip_events import TripEnded
from thawline.vial.facts import as_of, fact_of, on_table, story_of, was_opened
from thawline.vial.folds import CARTON, LOT, VIAL, carton_key
from thawline.vial.leaving import holds
from thawline.vial.story import History, What

LOT_NUMBER = "ZZ-1041"
ARRIVED = ev.ShipmentArrived(
    lot=LOT_NUMBER, expiry="2026-08", unit="freezer-1", vials=40, doses_per_vial=8
)
CAME = ev.VialsArrived(
    vials=(CODE,),
    lot=LOT_NUMBER,
    expiry="2026-08",
    doses=8,
    from_site="quillbeck",
    thawed_lo_ms=to_ms(at("04:00")),
    thawed_hi_ms=to_ms(at("04:10")),
    room_used_min=20,
    transport_used_min=45,
    trips_used=1,
)


def vial(*events):
    return folded(VIAL, *events)[CODE]


def test_a_vial_begins_when_it_comes_out_of_its_carton():
    state = vial(taken_out())

    assert (state.lot, state.expiry, state.doses, state.left) == (LOT_NUMBER, "2026-08", 8, 8)
    assert whats(state) == ["to-fridge"]


def test_a_vial_of_a_held_carton_was_soft_since_and_stays_held():
    since = to_ms(at("01:00"))

    state = vial(taken_out(held="soft on arrival", soft_since_ms=since))

    assert whats(state) == ["warmed", "to-fridge", "hold"]
    assert (state.rows[0].lo_ms, state.rows[2].why) == (since, "soft on arrival")


def test_what_happens_to_a_vial_is_kept_row_by_row():
    state = vial(
        taken_out(),
        ev.VialMoved(
            vials=(CODE,), to="table", lot=LOT_NUMBER, expiry="2026-08", room_mc=21500
        ),
        ev.VialPunctured(vial=CODE),
        ev.DoseDrawn(vial=CODE, lot=LOT_NUMBER, syringes=(f"{CODE}-01", f"{CODE}-02"), extra=1),
        ev.VialHeld(vials=(CODE,), why="shaken"),
        ev.VialReleased(vials=(CODE,), why="ok", second="Bryony Testwick"),
        ev.VialFlagged(vials=(CODE,)),
        ev.UnitWarmed(unit="freezer-1", vials=(CODE,)),
        ev.VialSent(
            vials=(CODE,), lot=LOT_NUMBER, doses=(6,), to_site="quillbeck", by_mode="cart"
        ),
    )

    assert whats(state) == [
        *("to-fridge", "to-table", "open", "draw", "hold", "release", "flag", "warmed"),
        "transport-start",
    ]
    assert (state.drawn, state.syringes, state.doses, state.left) == (2, 2, 9, 7)
    assert (state.sent_to, on_table(state)) == ("quillbeck", True)


def test_a_dose_given_straight_from_the_vial_was_drawn_from_it():
    given = ev.DoseGiven(
        person="DEMO-000001", dose_number=1, lot=LOT_NUMBER, doses_from=f"vial:{CODE}"
    )

    state = vial(taken_out(), given)

    assert (whats(state), state.left, state.syringes) == (["to-fridge", "draw"], 7, 0)


@pytest.mark.parametrize(
    ("event", "left"),
    [
        (
            ev.DoseWasted(place=f"vial:{CODE}", lot=LOT_NUMBER, doses=3, cause="spilled"),
            5,
        ),
        (
            ev.DoseNotFound(
                place=f"vial:{CODE}", lot=LOT_NUMBER, doses=1, why="?", second="Bryony"
            ),
            7,
        ),
        (ev.VialDiscarded(vial=CODE, lot=LOT_NUMBER, doses=8, cause="leftover"), 0),
    ],
)
def test_doses_wasted_or_missing_are_no_longer_in_the_vial(event, left):
    assert vial(taken_out(), event).left == left


def test_doses_of_a_syringe_or_of_no_account_leave_the_vial_alone():
    syringe = ev.DoseWasted(place=f"syringe:{CODE}-01", lot=LOT_NUMBER, doses=1, cause="use-by")
    given = ev.DoseGiven(person="DEMO-000001", dose_number=1, lot=LOT_NUMBER)

    assert folded(VIAL, taken_out(), syringe, given)[CODE].left == 8
    assert VIAL.keys(ev.Noted(says="a remark")) == ()


def test_a_vial_that_arrives_brings_its_history():
    state = vial(CAME)
    (fact,) = story_of(state, None).facts

    assert fact.history == History(
        fact.history.thawed_at,
        room_used=fact.history.room_used,
        transport_used=fact.history.transport_used,
        trips_used=1,
    )
    assert (fact.history.thawed_at.lo, fact.history.thawed_at.hi) == (at("04:00"), at("04:10"))
    assert (fact.history.missing(), state.sent_to) == ((), None)


def test_a_gap_in_a_history_stays_a_gap():
    came = ev.VialsArrived(vials=(CODE,), lot=LOT_NUMBER, expiry="2026-08", doses=8)

    (fact,) = story_of(vial(came), None).facts

    assert fact.history == History()


def test_an_arrival_that_the_rules_hold_is_held():
    held = ev.VialsArrived(
        vials=(CODE,), lot=LOT_NUMBER, expiry="2026-08", doses=8, held="carried too long"
    )

    state = vial(held)

    assert whats(state) == ["arrive", "hold"]
    assert state.rows[1].why == "carried too long"


def test_a_vial_that_comes_back_is_here_again():
    sent = ev.VialSent(
        vials=(CODE,), lot=LOT_NUMBER, doses=(8,), to_site="quillbeck", by_mode="cart"
    )

    assert vial(taken_out(), sent, CAME).sent_to is None


def test_a_fact_about_a_vial_nobody_spoke_of_before_is_kept():
    state = vial(ev.VialPunctured(vial=CODE))

    assert (state.lot, state.expiry, state.doses) == ("?", None, 0)
    assert whats(state) == ["open"]


def test_a_lot_keeps_its_holds_its_label_and_its_vials():
    states = folded(
        LOT,
        ARRIVED,
        taken_out("HK47M", "CM62T"),
        ev.LotHeld(lot=LOT_NUMBER, why="withdrawn", notice="UV-3"),
        ev.LotReleased(lot=LOT_NUMBER, why="lifted", second="Bryony Testwick"),
    )

    state = states[LOT_NUMBER]
    assert (whats(state), state.expiry) == (["hold", "release"], "2026-08")
    assert state.vials == ("HK47M", "CM62T")


def test_a_vial_moved_again_is_listed_once_under_its_lot():
    moved = ev.VialMoved(vials=(CODE,), to="table", lot=LOT_NUMBER, expiry="2026-08")

    assert folded(LOT, taken_out(), moved)[LOT_NUMBER].vials == (CODE,)
    assert LOT.keys(ev.VialPunctured(vial=CODE)) == ()


def test_a_carton_counts_vials_in_and_out():
    key = carton_key("freezer-1", LOT_NUMBER)

    state = folded(CARTON, ARRIVED, taken_out("HK47M", "CM62T"), ARRIVED)[key]

    assert (state.vials, state.doses_per_vial, state.rows) == (78, 8, ())


def test_a_soft_carton_is_held():
    soft = ev.ShipmentArrived(
        lot=LOT_NUMBER, expiry="2026-08", unit="freezer-1", vials=5, doses_per_vial=8, soft=True
    )

    held, warmed = folded(CARTON, soft)[carton_key("freezer-1", LOT_NUMBER)].rows

    assert (held.what, held.why) == (What.HOLD, "soft on arrival")
    assert (warmed.what, warmed.lo_ms) == (What.WARMED, held.lo_ms)


def test_vials_from_a_carton_nobody_received_leave_it_below_zero():
    state = folded(CARTON, taken_out())[carton_key("freezer-1", LOT_NUMBER)]

    assert (state.vials, state.doses_per_vial) == (-1, 8)


def test_a_vial_that_has_a_code_already_touches_no_carton():
    moved = ev.VialMoved(vials=(CODE,), to="table", lot=LOT_NUMBER, expiry="2026-08")

    assert CARTON.keys(moved) == CARTON.keys(ev.VialPunctured(vial=CODE)) == ()


def test_the_holds_of_a_lot_stand_in_the_story_in_their_place():
    lot = folded(LOT, ARRIVED, ev.LotHeld(lot=LOT_NUMBER, why="withdrawn"))[LOT_NUMBER]
    state = folded(VIAL, taken_out(), ev.Noted(says="-"), ev.VialPunctured(vial=CODE))[CODE]

    facts = story_of(state, lot).facts

    assert [(fact.what.value, fact.of_lot) for fact in facts] == [
        ("to-fridge", False),
        ("hold", True),
        ("open", False),
    ]


def test_the_temperature_of_a_table_is_kept_to_the_thousandth():
    moved = ev.VialMoved(
        vials=(CODE,), to="table", lot=LOT_NUMBER, expiry="2026-08", room_mc=21_567
    )

    assert str(fact_of(vial(taken_out(), moved).rows[1]).room_c) == "21.567"


SENT = ev.VialSent(
    vials=(CODE,), lot=LOT_NUMBER, doses=(6,), to_site="quillbeck", by_mode="cart"
)


def test_a_sent_vial_that_reached_the_other_site_is_on_its_way_no_more():
    state = vial(taken_out(), SENT, TripEnded(vials=(CODE,), to_site="quillbeck"))

    assert (state.rows[-1].what, state.sent_to) == (What.TRANSPORT_END, "quillbeck")


@pytest.mark.parametrize(
    ("minute", "doses", "left", "rows", "sent_to"),
    [
        (0, 8, 8, 1, None),
        (1, 8, 8, 2, None),
        (2, 9, 6, 3, None),
        (3, 9, 4, 3, None),
        (4, 9, 4, 4, "quillbeck"),
    ],
)
def test_a_vial_is_shown_as_it_was_at_an_earlier_moment(minute, doses, left, rows, sent_to):
    state = vial(
        taken_out(),
        ev.VialPunctured(vial=CODE),
        ev.DoseDrawn(
            vial=CODE, lot=LOT_NUMBER, syringes=("HK47M-01", "HK47M-02", "HK47M-03"), extra=1
        ),
        ev.DoseWasted(place=f"vial:{CODE}", lot=LOT_NUMBER, doses=2, cause="spilled"),
        SENT,
    )

    then = as_of(state, NOON + minute * MINUTE)

    assert (then.doses, then.left, len(then.rows), then.sent_to) == (doses, left, rows, sent_to)


def test_before_anything_was_known_of_it_there_is_no_vial():
    assert as_of(vial(taken_out()), NOON - MINUTE) is None


def test_a_vial_that_came_here_was_not_away():
    assert as_of(vial(CAME), NOON).sent_to is None


@pytest.mark.parametrize(
    ("event", "opened"),
    [
        (ev.VialPunctured(vial=CODE), True),
        (ev.DoseDrawn(vial=CODE, lot=LOT_NUMBER, syringes=("HK47M-01",)), True),
        (ev.VialHeld(vials=(CODE,), why="shaken"), False),
    ],
)
def test_a_vial_was_opened_once_a_needle_was_in_it(event, opened):
    assert was_opened(vial(taken_out(), event)) is opened


def test_a_hold_for_an_excursion_says_how_cold_the_thawed_vials_may_have_been():
    held = ev.VialHeld(
        vials=(CODE, "CM62T"), why="fridge", coldest_mc=-500, refrozen=(CODE,), unit="fridge-1"
    )

    states = folded(VIAL, taken_out(CODE, "CM62T"), held)

    assert [states[code].rows[-1].room_mc for code in (CODE, "CM62T")] == [-500, None]


@pytest.mark.parametrize(
    ("ends", "kept"),
    [
        ({}, [25_600]),
        ({"min_mc": 1900, "max_mc": 25_700}, [25_700, 1900]),
        ({"max_mc": 26_000}, [26_000, 25_600]),
        ({"min_mc": 25_600}, [25_600]),
    ],
)
def test_the_warmest_and_the_coldest_at_a_table_are_facts_of_the_vials_there(ends, kept):
    read = ev.ReadingTaken(unit="table-1", temp_mc=25_600, vials=(CODE,), **ends)

    rows = vial(taken_out(), read).rows

    assert [(row.what.value, row.room_mc) for row in rows[1:]] == [
        ("room-read", mc) for mc in kept
    ]


def test_a_table_that_is_not_named_is_the_one_the_vial_was_scanned_at():
    to_table = ev.VialMoved(vials=(CODE,), to="table", lot=LOT_NUMBER, expiry="2026-08")
    named = replace(to_table, unit="table-2")

    rows = [
        folded(VIAL, taken_out(), each, station="draw-1")[CODE].rows[-1]
        for each in (to_table, named)
    ]

    assert [row.unit for row in rows] == ["draw-1", "table-2"]


def test_a_carton_is_held_warmed_and_released_by_its_freezer_and_lot():
    key = carton_key("freezer-1", LOT_NUMBER)
    events = (
        ARRIVED,
        ev.UnitWarmed(unit="freezer-1", lots=(LOT_NUMBER,)),
        ev.VialHeld(vials=(), why="warm", cartons=(key,)),
        ev.VialReleased(vials=(), why="use", second="Bryony", cartons=(key,)),
    )

    state = folded(CARTON, *events)[key]

    assert whats(state) == ["warmed", "hold", "release"]
    assert state.soft_since_ms == state.rows[0].lo_ms
    assert [row.what.value for row in state.fills] == ["arrive"]


def test_a_carton_that_nobody_received_is_held_all_the_same():
    key = carton_key("freezer-1", "ZZ-9999")

    state = folded(CARTON, ev.VialHeld(vials=(), why="warm", cartons=(key,)))[key]

    assert (state.lot, state.expiry, state.vials, whats(state)) == (
        "ZZ-9999",
        None,
        0,
        ["hold"],
    )
    assert state.soft_since_ms is None


def test_a_dose_given_straight_from_a_vial_is_one_dose_drawn():
    given = ev.DoseGiven(
        person="DEMO-000001", dose_number=1, lot=LOT_NUMBER, doses_from=f"vial:{CODE}"
    )

    state = vial(taken_out(), given)

    assert (whats(state), state.rows[-1].doses) == (["to-fridge", "draw"], 1)
    assert (state.drawn, state.left) == (1, 7)


def test_a_vial_on_its_way_says_how_it_is_carried():
    assert vial(taken_out(), SENT).rows[-1].by == "cart"


def test_of_a_vial_that_nobody_took_out_only_what_the_fact_says_is_known():
    state = vial(ev.DoseDrawn(vial=CODE, lot=LOT_NUMBER, syringes=("HK47M-01",)))

    assert (state.lot, state.expiry, state.zone) == (LOT_NUMBER, None, "America/Chicago")
    assert vial(ev.VialPunctured(vial=CODE)).lot == "?"


def test_a_vial_was_last_seen_where_a_dose_was_drawn():
    drawn = ev.DoseDrawn(vial=CODE, lot=LOT_NUMBER, syringes=("HK47M-01",))
    state = vial(taken_out())

    there = VIAL.step(CODE, state, entry(drawn, 1, station="table-2"))

    assert there.station == "table-2"
    assert VIAL.step(CODE, there, entry(drawn, 2)).station == "table-2"


def test_a_discarded_vial_says_why():
    ended = ev.VialDiscarded(vial=CODE, lot=LOT_NUMBER, doses=8, cause="leftover")

    assert vial(taken_out(), ended).rows[-1].why == "leftover"


def test_a_dose_wasted_out_of_a_syringe_touches_no_vial():
    wasted = ev.DoseWasted(place="syringe:HK47M-01", lot=LOT_NUMBER, doses=1, cause="spilled")

    assert VIAL.keys(wasted) == ()


def test_a_vial_that_nobody_took_out_has_a_story_without_an_expiry():
    told = story_of(vial(ev.VialPunctured(vial=CODE)), None)

    assert (told.lot, told.last_day) == ("?", None)
    assert told.facts[0].why == ""


def test_a_fact_says_how_many_doses_and_how_it_was_carried():
    drawn = ev.DoseDrawn(vial=CODE, lot=LOT_NUMBER, syringes=("HK47M-01", "HK47M-02"))

    facts = story_of(vial(taken_out(), drawn, SENT), None).facts

    assert [(fact.doses, fact.by) for fact in facts] == [(0, None), (2, None), (0, "cart")]
    assert story_of(vial(taken_out()), None).lot == LOT_NUMBER


def test_a_vial_is_where_it_was_last_put():
    assert VIAL.step(CODE, None, entry(taken_out(), station="cold room")).station == "cold room"


def test_the_hold_of_a_whole_lot_says_that_it_is_one():
    lot = folded(LOT, ARRIVED, ev.LotHeld(lot=LOT_NUMBER, why="withdrawn"))[LOT_NUMBER]

    (found,) = holds(story_of(vial(taken_out()), lot).facts, {})

    assert (found.code, found.says) == (
        "lot-held",
        "HELD \N{EN DASH} DO NOT USE (whole lot): withdrawn",
    )


def test_a_carton_has_the_expiry_of_its_last_shipment():
    later = ev.ShipmentArrived(
        lot=LOT_NUMBER, expiry="2026-09", unit="freezer-1", vials=4, doses_per_vial=8
    )
    key = carton_key("freezer-1", LOT_NUMBER)

    assert folded(CARTON, ARRIVED)[key].expiry == "2026-08"
    assert folded(CARTON, ARRIVED, later)[key].expiry == "2026-09"


def test_a_carton_nobody_received_is_named_by_the_vials_that_came_out():
    state = folded(CARTON, taken_out())[carton_key("freezer-1", LOT_NUMBER)]

    assert (state.unit, state.lot, state.expiry) == ("freezer-1", LOT_NUMBER, "2026-08")


def test_the_release_of_a_lot_says_why():
    released = ev.LotReleased(lot=LOT_NUMBER, why="cleared", second="Bryony Testwick")

    lot = folded(LOT, ev.LotHeld(lot=LOT_NUMBER, why="withdrawn"), released)[LOT_NUMBER]

    assert [row.why for row in lot.rows] == ["withdrawn", "cleared"]
