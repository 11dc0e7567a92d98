"""Sending thawed vials on with their history, and what arrives of it at the other site."""

from dataclasses import replace
from datetime import timedelta

import pytest
from tests.app.arrivals import CAME, FOREIGN, LABEL
from tests.cast import LOT, OTHER_LOT, ROWAN, TRANSPORT, a_day, at, codes, small

from thawline.app.holds import hold
from thawline.app.receiving import receive_thawed
from thawline.app.sending import Note, end_trip, send
from thawline.app.vials import draw, move, open_vial
from thawline.base.errors import NotFoundError, RecordError, RefusedError, ReusedIdError
from thawline.ledger.events import VialSent
from thawline.ledger.trip_events import TripEnded
from thawline.vial.folds import VIAL
from thawline.vial.story import What

MAY_RETURN = '[handling.return_from_table]\nitem = "H1"\nmay = true\nsource = "demo"\n'
OPEN_TOO = '[transport.punctured]\nitem = "T5"\nmay = true\nsource = "demo"\n'
RULES = small(TRANSPORT + MAY_RETURN)


def thawed(count=1, rules=RULES):
    day = a_day(rules)
    return day, day.thaw(count, "04:00")


def sent(day, codes_, clock="06:30", mode="cart", **more):
    return send(day.site, day.doing(clock, by=ROWAN, **more), tuple(codes_), "quillbeck", mode)


def refusal(day, codes_, clock="06:30", mode="cart"):
    with pytest.raises(RefusedError) as raised:
        sent(day, codes_, clock, mode)
    return codes(raised.value.findings)


def test_thawed_vials_go_with_their_history():
    day, (vial,) = thawed()
    move(day.site, day.doing("06:10"), [vial], "table")
    move(day.site, day.doing("06:30:30"), [vial], "fridge")

    outcome, notes = sent(day, [vial, vial], "07:00")

    assert outcome.event == VialSent(
        vials=(vial,), lot=LOT, doses=(8,), to_site="quillbeck", by_mode="cart"
    )
    assert notes == [
        Note(
            vial=vial,
            lot=LOT,
            expiry="2026-08",
            doses=8,
            thawed_at=at("04:00"),
            room_used_min=21,  # 20 min 30 s, rounded up
            transport_used_min=0,
            trips_used=1,
        )
    ]
    assert day.one(VIAL, vial).sent_to == "quillbeck"


def test_a_dry_run_shows_the_note_and_keeps_the_vial_here():
    day, (vial,) = thawed()

    outcome, (note,) = sent(day, [vial], dry_run=True)

    assert (outcome.receipt, note.trips_used) == (None, 1)
    assert day.one(VIAL, vial).sent_to is None


@pytest.mark.parametrize(
    ("clock", "refused"),
    [("03:59", True), ("05:59", True), ("06:00", False)],
    ids=["still frozen", "thawing", "thawed"],
)
def test_only_thawed_vials_are_sent(clock, refused):
    day, (vial,) = thawed()

    if refused:
        assert refusal(day, [vial], clock) == ["not-thawed"]
    else:
        assert sent(day, [vial], clock)[1][0].thawed_at == at("04:00")


def test_a_vial_that_went_while_it_thawed_has_no_thaw_to_tell_of():
    day, (vial,) = thawed()

    _, (note,) = sent(day, [vial], "05:00", happened=True)

    assert note.thawed_at is None


def test_held_open_past_or_table_vials_are_not_sent():
    day, (held, on_table, opened) = thawed(3)
    hold(day.site, day.doing("06:10", why="shaken"), [held])
    move(day.site, day.doing("06:11"), [on_table, opened], "table")
    open_vial(day.site, day.doing("06:21"), opened)

    assert refusal(day, [held]) == ["held"]
    assert refusal(day, [on_table]) == ["on-the-table"]
    assert "punctured-not-carried" in refusal(day, [opened])
    assert refusal(day, [on_table], "17:00") == ["past-use-by", "on-the-table"]


def test_a_vial_that_was_held_when_it_went_is_held_where_it_arrives():
    day, (vial,) = thawed()
    hold(day.site, day.doing("06:10", why="shaken"), [vial])

    _, (note,) = sent(day, [vial], happened=True)

    assert "shaken" in note.held


def test_an_open_vial_that_may_be_carried_arrives_held_all_the_same():
    day, (vial,) = thawed(rules=small(TRANSPORT + OPEN_TOO))
    move(day.site, day.doing("06:10"), [vial], "table")
    open_vial(day.site, day.doing("06:21"), vial)
    draw(day.site, day.doing("06:22"), vial, 2)

    _, (note,) = sent(day, [vial], "06:30", happened=True)

    assert (note.doses, "it is open" in note.held) == (6, True)


@pytest.mark.parametrize("mode", ["helicopter", "sledge"])
def test_a_way_that_the_protocol_does_not_allow_is_refused_with_those_it_does(mode):
    day, (vial,) = thawed()

    with pytest.raises(RefusedError, match="the protocol allows: cart, vehicle"):
        sent(day, [vial], mode=mode)


def test_where_the_protocol_names_no_way_nothing_is_carried():
    day, (vial,) = thawed(rules=small())

    with pytest.raises(RefusedError, match="the protocol allows: no way"):
        sent(day, [vial])


def test_a_vial_is_carried_once():
    day, (vial,) = thawed()
    sent(day, [vial])

    assert set(refusal(day, [vial], "06:40")) >= {"not-here", "one-trip-only"}


def test_only_vials_of_one_lot_that_are_here_are_sent_together():
    day, (vial,) = thawed()
    day.receive(4, "04:10", OTHER_LOT)
    (other,) = day.thaw(1, "04:20", OTHER_LOT)

    with pytest.raises(RecordError, match="more than one lot"):
        sent(day, [vial, other], "06:40")
    with pytest.raises(RecordError, match="no vial is named"):
        sent(day, [])
    with pytest.raises(NotFoundError, match="no vial ZZ00Z here"):
        sent(day, ["ZZ00Z"])


def test_the_way_is_part_of_the_act():
    day, (vial,) = thawed()
    doing = day.doing("06:30", by=ROWAN)
    send(day.site, doing, (vial,), "quillbeck", "cart")

    with pytest.raises(ReusedIdError):
        send(day.site, doing, (vial,), "quillbeck", "vehicle")


def test_what_an_arrival_did_not_say_is_not_known_further_on_either():
    day = a_day(RULES)
    gap = replace(CAME, room_used_min=None, transport_used_min=None, trips_used=None)
    receive_thawed(day.site, day.doing("05:00"), LABEL, (FOREIGN,), gap)

    _, (note,) = sent(day, [FOREIGN], "06:30", happened=True)

    assert (note.room_used_min, note.transport_used_min, note.trips_used) == (None, None, None)
    assert note.held
    assert note.thawed_at - at("01:00") == timedelta(0)


# --- the end of the trip -------------------------------------------------------------------


def reached(day, codes_, clock="07:00", to="quillbeck"):
    return end_trip(day.site, day.doing(clock, by=ROWAN), tuple(codes_), to)


def test_a_trip_is_over_when_the_other_site_has_the_vial():
    day, (vial,) = thawed()
    sent(day, [vial])

    outcome = reached(day, [vial, vial])

    assert outcome.event == TripEnded(vials=(vial,), to_site="quillbeck")
    assert [row.what for row in day.one(VIAL, vial).rows][-2:] == [
        What.TRANSPORT_START,
        What.TRANSPORT_END,
    ]
    assert day.one(VIAL, vial).sent_to == "quillbeck"


@pytest.mark.parametrize(
    ("clock", "to", "says"),
    [
        ("06:29", "quillbeck", "not on its way to quillbeck then: it was here"),
        ("07:00", "oddmoor", "not on its way to oddmoor then: it was sent to quillbeck"),
    ],
)
def test_a_vial_that_was_not_on_its_way_there_did_not_reach_it(clock, to, says):
    day, (vial,) = thawed()
    sent(day, [vial])

    with pytest.raises(RecordError, match=says):
        reached(day, [vial], clock, to)


def test_a_trip_ends_once_and_for_vials_that_are_named():
    day, (vial,) = thawed()
    sent(day, [vial])
    reached(day, [vial])

    with pytest.raises(RecordError, match="and reached it"):
        reached(day, [vial])
    with pytest.raises(RecordError, match="no vial is named"):
        reached(day, [])
