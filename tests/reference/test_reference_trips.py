"""
Trips in the reference, by hand: since when they count, and which end may have named them.

Worked out on paper from "Transport" in docs/background/vial-clocks.md. Hand-cart 1 h, vehicle
12 h, helicopter never, one trip: Wisconsin DHS bulletin of March 2021.
"""

import pytest
from tests.reference.by_hand import TO_FRIDGE, at, span, story
from tests.reference.made_up_rules import FIRST_FORM
from tests.reference.vial_clocks import reckon


def _on(clock):
    return f"2026-02-03T{clock}:00-06:00"


def _start(clock, **more):
    return (_on(clock), "transport-start", more)


def _end(clock, **more):
    return (_on(clock), "transport-end", more)


def _codes(*events, asked="11:00"):
    return reckon(story(*events), FIRST_FORM, at(_on(asked)))["codes"]


@pytest.mark.parametrize(
    ("ended", "codes"),
    [("03:59", []), ("05:00", []), ("05:01", ["carried-too-long"])],
    ids=["over before it left", "an hour since it left", "a minute more"],
)
def test_a_trip_begun_before_the_vial_left_the_freezer_counts_from_the_leaving(ended, codes):
    assert _codes(_start("02:00", by="hand-cart"), TO_FRIDGE, _end(ended)) == codes


def test_such_a_trip_is_one_of_those_that_are_counted():
    first = [_start("02:00", by="hand-cart"), TO_FRIDGE, _end("04:30")]

    assert _codes(*first, _start("09:00", by="hand-cart"), _end("09:10")) == ["one-trip-only"]


def test_its_clock_starts_when_the_vial_left_the_freezer():
    begun = story(_start("02:00", by="hand-cart"), TO_FRIDGE)

    answer = reckon(begun, FIRST_FORM, at(_on("04:30")))

    assert (answer["use_by"], answer["set_by"]) == (at(_on("05:00")), "transport")


@pytest.mark.parametrize("latest", ["09:30", "11:30"], ids=["has come", "may not have come"])
def test_an_end_that_may_have_come_before_the_start_may_still_name_the_trip(latest):
    start = (span(_on("09:00"), _on("09:20")), "transport-start", {"by": "vehicle"})
    end = (span(_on("09:10"), _on(latest)), "transport-end", {"by": "helicopter"})

    assert _codes(TO_FRIDGE, start, end) == ["mode-not-allowed"]


def test_of_ends_that_may_each_be_the_first_the_strictest_counts():
    by_vehicle = (span(_on("10:01"), _on("10:10")), "transport-end", {"by": "vehicle"})
    by_cart = (span(_on("10:05"), _on("10:20")), "transport-end", {"by": "hand-cart"})

    assert _codes(TO_FRIDGE, _start("09:00"), by_vehicle, by_cart) == ["carried-too-long"]


def test_an_end_after_the_trip_had_ended_names_nothing():
    later = _end("10:30", by="helicopter")

    assert _codes(TO_FRIDGE, _start("09:00", by="hand-cart"), _end("09:30"), later) == []
