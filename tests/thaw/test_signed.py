"""A signed thaw plan, and when the bookings have moved too far since. Made-up numbers."""

import pytest

from thawline.thaw.signed import SignedPlan, changed_since

PLAN = SignedPlan(vials=60, booked=600, by="Rowan", second="Sorrel", at_ms=0)


@pytest.mark.parametrize("booked", [600, 618, 582], ids=["the same", "3 % more", "3 % fewer"])
def test_a_change_of_up_to_three_in_a_hundred_is_left_alone(booked):
    assert changed_since(PLAN, booked, 61) == ()


@pytest.mark.parametrize("booked", [619, 581], ids=["more", "fewer"])
def test_a_greater_change_asks_for_a_new_signature(booked):
    [found] = changed_since(PLAN, booked, 62)
    assert (found.level, found.code) == ("act", "bookings-changed")
    assert found.says.startswith(f"bookings changed from 600 to {booked} since the plan was")
    assert "It says 60 vials, and would now say 62" in found.says
