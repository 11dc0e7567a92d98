"""Six vials move from Harrowmint to Quillbeck, once, with everything that is known of them."""

import pytest
from tests.cast import ROWAN, SORREL
from tests.stories.hall import EXPIRY, LOT, Hall

from thawline.app.receiving import Label, Thawed, receive_thawed
from thawline.app.sending import send
from thawline.base.errors import RefusedError
from thawline.vial.reckon import State


@pytest.fixture
def halls(tmp_path):
    """Two sites under Example-10 (made up): a vehicle for 12 h, a cart for 1 h, one trip."""
    here, there = Hall(tmp_path, "harrowmint"), Hall(tmp_path, "quillbeck")
    here.receive("01:00", 40)
    return here, there


def sent(here, clock, vials, mode="vehicle"):
    return send(here.site, here.doing(clock, ROWAN), tuple(vials), "quillbeck", mode)[1]


def arrived(there, clock, notes, minutes, mode="vehicle"):
    note = notes[0]
    came = Thawed(
        doses=note.doses,
        thawed_lo=note.thawed_at,
        thawed_hi=note.thawed_at,
        room_used_min=note.room_used_min,
        transport_used_min=note.transport_used_min + minutes,
        trips_used=note.trips_used,
        from_site="harrowmint",
        by_mode=mode,
        carried_min=minutes,
    )
    codes = tuple(each.vial for each in notes)
    doing = there.doing(clock, SORREL)
    return receive_thawed(there.site, doing, Label(LOT, EXPIRY), codes, came)


def test_six_vials_go_on_where_they_arrive_with_the_same_use_by(halls):
    here, there = halls
    vials = here.thaw("05:00", 6)
    before = here.standing("08:00", vials[0]).reckoning.use_by

    arrived(there, "09:30", sent(here, "08:00", vials), 90)

    standing = there.all_standing("10:00")
    assert set(standing) == set(vials)
    assert {each.reckoning.state for each in standing.values()} == {State.CHILLED}
    assert {each.reckoning.use_by for each in standing.values()} == {before}


def test_they_are_opened_there_and_never_sent_on(halls):
    here, there = halls
    (vial,) = here.thaw("05:00", 1)
    arrived(there, "09:30", sent(here, "08:00", [vial]), 90)

    there.to_table("10:00", [vial])
    there.open("10:15", vial)

    assert there.standing("10:16", vial).reckoning.state is State.OPEN
    with pytest.raises(RefusedError, match=r"carried before \(1\); at most 1 in all"):
        send(there.site, there.doing("10:20", SORREL), (vial,), "oddmoor", "vehicle")


def test_an_hour_by_cart_is_in_order_and_a_minute_more_is_held(halls):
    here, there = halls
    first, second = here.thaw("05:00", 2)

    in_order = arrived(there, "09:00", sent(here, "08:00", [first], "cart"), 60, "cart")
    too_long = arrived(there, "09:11", sent(here, "08:10", [second], "cart"), 61, "cart")

    assert (in_order.findings, [each.code for each in too_long.findings]) == (
        (),
        ["carried-too-long"],
    )
    assert there.standing("09:30", second).reckoning.state is State.HELD


def test_what_left_is_not_used_here_any_more(halls):
    here, _ = halls
    (vial,) = here.thaw("05:00", 1)
    sent(here, "08:00", [vial])

    with pytest.raises(RefusedError, match="was sent to quillbeck"):
        here.to_table("08:10", [vial])
