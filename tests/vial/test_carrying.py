"""
Carrying thawed vials, with made-up limits: a cart 40 min, a vehicle 4 h, one trip, 5 h in all,
a helicopter never, a punctured vial never.
"""

from datetime import timedelta

import pytest
from tests.cast import TRANSPORT, small
from tests.vial.stories import asked, clock, found_codes, moment

PUNCTURED = '[transport.punctured]\nitem = "T5"\nmay = {may}\nsource = "demo"\n'
RULES = small(TRANSPORT).protocol
TOTAL_AND_SLEDGE = """
[transport.total]
item = "T3"
allows = "PT5H"
source = "demo"
[transport.by.sledge]
item = "T6"
allows = "PT24H"
source = "demo"
"""
WITHOUT_A_WAY = small().protocol
CHILLED = "04:00 to-fridge"


def carried(at, *facts, rules=RULES):
    return asked(at, CHILLED, *facts, rules=rules)


@pytest.mark.parametrize(
    ("end", "mode", "codes"),
    [
        ("08:40", "cart", []),
        ("08:40:00.001", "cart", ["carried-too-long"]),
        ("12:00", "vehicle", []),
        ("12:00:00.001", "vehicle", ["carried-too-long"]),
    ],
    ids=["cart", "cart, 1 ms more", "vehicle", "vehicle, 1 ms more"],
)
def test_each_way_of_carrying_has_its_time(end, mode, codes):
    found = carried("14:00", "08:00 transport-start", f"{end} transport-end by={mode}")

    assert (found_codes(found), found.usable) == (codes, not codes)


@pytest.mark.parametrize("mode", ["helicopter", "bicycle"])
def test_a_way_that_the_protocol_does_not_allow_stops_the_vial(mode):
    found = carried("09:00", "08:00 transport-start", f"08:01 transport-end by={mode}")

    assert (found_codes(found), found.usable) == (["mode-not-allowed"], False)


def test_a_way_that_nobody_named_counts_as_the_strictest():
    found = carried("10:00", "08:00 transport-start", "08:41 transport-end")

    assert found_codes(found) == ["carried-too-long"]
    assert "cart" in found.findings[0].says


def test_the_way_may_be_named_at_the_start_or_at_the_end():
    at_start = carried("12:00", "08:00 transport-start by=vehicle", "10:00 transport-end")
    at_end = carried("12:00", "08:00 transport-start", "10:00 transport-end by=vehicle")

    assert (found_codes(at_start), found_codes(at_end)) == ([], [])


def test_a_second_trip_stops_the_vial():
    first = ("08:00 transport-start", "08:10 transport-end by=cart")
    second = ("09:00 transport-start", "09:10 transport-end by=cart")

    assert carried("10:00", *first).usable is True
    assert found_codes(carried("10:00", *first, *second)) == ["one-trip-only"]


def test_trips_made_before_it_came_here_count():
    came = "as=chilled thawed_at=01:00 room_used_min=0 transport_used_min=30 trips_used=1"

    found = asked(
        "09:00",
        f"04:00 arrive {came}",
        "08:00 transport-start",
        "08:10 transport-end by=cart",
        rules=RULES,
    )

    assert found_codes(found) == ["one-trip-only"]


def test_trips_that_nobody_counted_count_as_all_there_may_be():
    came = "as=chilled thawed_at=01:00 room_used_min=0 transport_used_min=30"

    found = asked(
        "09:00",
        f"04:00 arrive {came}",
        "05:00 release",
        "08:00 transport-start",
        "08:10 transport-end by=cart",
        rules=RULES,
    )

    assert found_codes(found) == ["one-trip-only"]


def test_minutes_on_the_way_add_up_with_those_before_it_came():
    came = "as=chilled thawed_at=01:00 room_used_min=0 trips_used=0"
    within = f"04:00 arrive {came} transport_used_min=240"
    beyond = f"04:00 arrive {came} transport_used_min=241"
    trip = ("08:00 transport-start", "09:00 transport-end by=vehicle")

    assert found_codes(asked("10:00", within, *trip, rules=RULES)) == []
    assert found_codes(asked("10:00", beyond, *trip, rules=RULES)) == [
        "carried-too-long-in-all"
    ]


def test_minutes_on_the_way_that_nobody_knows_count_as_all_there_may_be():
    came = "as=chilled thawed_at=01:00 room_used_min=0 trips_used=0"
    trip = ("08:00 transport-start", "08:01 transport-end by=cart")

    found = asked("09:00", f"04:00 arrive {came}", "05:00 release", *trip, rules=RULES)

    assert found_codes(found) == ["carried-too-long-in-all"]


def test_an_open_vial_is_never_carried():
    facts = ("06:35 to-table", "07:00 open", "08:00 transport-start")

    found = carried("08:05", *facts)

    assert "punctured-not-carried" in found_codes(found)
    assert found.usable is False


@pytest.mark.parametrize(("may", "usable"), [("true", True), ("false", False)])
def test_where_the_protocol_lets_an_open_vial_be_carried_it_is(may, usable):
    rules = small(TRANSPORT + PUNCTURED.format(may=may)).protocol
    facts = ("06:35 to-table", "07:00 open", "08:00 transport-start")

    assert carried("08:05", *facts, rules=rules).usable is usable


def test_a_trip_that_may_have_begun_before_the_vial_left_the_freezer_counts():
    before = asked(
        "09:00",
        "03:00 transport-start by=helicopter",
        "03:30 transport-end",
        CHILLED,
        rules=RULES,
    )
    perhaps = asked("09:00", "03:00-04:30 transport-start by=helicopter", CHILLED, rules=RULES)

    assert before.usable is True
    assert perhaps.usable is False


@pytest.mark.parametrize(
    ("end", "codes"),
    [
        ("04:40", []),
        ("04:40:00.001", ["carried-too-long"]),
        ("04:00", []),
    ],
    ids=["40 min since it left", "1 ms more", "over as it left"],
)
def test_a_trip_begun_with_a_frozen_vial_counts_from_leaving_the_freezer_on(end, codes):
    trip = ("03:00 transport-start by=cart", f"{end} transport-end")
    facts = (*trip, CHILLED) if end == "04:00" else (trip[0], CHILLED, trip[1])

    assert found_codes(asked("09:00", *facts, rules=RULES)) == codes


def test_a_trip_that_the_vial_left_the_freezer_on_is_its_one_trip():
    first = ("03:00 transport-start by=cart", CHILLED, "04:10 transport-end")
    second = ("05:00 transport-start by=cart", "05:10 transport-end")

    assert found_codes(asked("09:00", *first, *second, rules=RULES)) == ["one-trip-only"]


def test_where_nobody_knows_when_it_was_thawed_a_trip_counts_from_its_start():
    unknown = "06:00 arrive as=chilled thawed_at=null room_used_min=0 trips_used=0"
    trip = ("05:00 transport-start by=cart", "05:40:00.001 transport-end")

    found = asked("09:00", *trip, f"{unknown} transport_used_min=0", rules=RULES)

    assert "carried-too-long" in found_codes(found)


def test_while_such_a_trip_lasts_its_clock_starts_when_the_vial_left():
    found = asked("04:30", "03:00 transport-start by=cart", CHILLED, rules=RULES)

    assert clock(found, "transport").started == moment("04:00")
    assert (found.use_by, found.set_by) == (moment("04:40"), "transport")


def test_a_trip_of_a_vial_that_leaves_the_freezer_later_takes_nothing_from_what_was_used():
    """It came chilled at some time until noon and was thawed at eleven; nine is asked about."""
    came = "08:00-12:00 arrive as=chilled thawed_at=11:00 room_used_min=0 trips_used=0"
    facts = ("07:00 transport-start by=cart", f"{came} transport_used_min=301")

    assert "carried-too-long-in-all" in found_codes(asked("09:00", *facts, rules=RULES))


@pytest.mark.parametrize(
    "end",
    ["08:10-08:30 transport-end by=helicopter", "08:10-09:30 transport-end by=helicopter"],
    ids=["it may have been over at once", "nor may it have come yet"],
)
def test_every_end_that_may_be_the_trips_may_name_how_it_was_carried(end):
    found = carried("09:00", "08:00-08:20 transport-start by=vehicle", end)

    assert (found_codes(found), found.usable) == (["mode-not-allowed"], False)
    assert "helicopter" in found.findings[0].says


def test_of_two_ends_that_may_be_the_trips_the_stricter_counts():
    found = carried(
        "10:00",
        "08:00 transport-start",
        "08:41-08:50 transport-end by=vehicle",
        "08:45-09:00 transport-end by=cart",
    )

    assert found_codes(found) == ["carried-too-long"]
    assert "by cart for 50 min" in found.findings[0].says


@pytest.mark.parametrize(
    "facts",
    [
        ("07:00 transport-end by=helicopter", "08:00 transport-start by=cart"),
        (
            "08:00 transport-start by=cart",
            "08:10 transport-end",
            "08:20 transport-end by=drone",
        ),
    ],
    ids=["over before it began", "after it had ended"],
)
def test_an_end_that_cannot_be_the_trips_names_nothing(facts):
    assert found_codes(carried("08:30", *facts)) == []


def test_a_trip_lasts_until_its_end_has_certainly_come():
    found = carried("08:30", "08:00 transport-start by=cart", "08:10-08:35 transport-end")

    assert (found.use_by, found.set_by) == (moment("08:40"), "transport")


def test_while_a_trip_lasts_what_its_start_says_counts_too():
    facts = ("08:00-08:20 transport-start by=cart", "08:10-08:30 transport-end by=vehicle")

    found = carried("08:41", *facts)

    assert (found_codes(found), clock(found, "transport").ends) == (
        ["carried-too-long", "past-use-by"],
        moment("08:40"),
    )


def test_while_a_trip_lasts_its_limit_is_a_clock():
    found = carried("08:30", "08:00 transport-start by=cart")

    assert (found.use_by, found.set_by, found.set_by_item) == (
        moment("08:40"),
        "transport",
        "T6",
    )
    assert clock(found, "transport").used == timedelta(minutes=30)


def test_a_trip_may_end_with_what_is_left_in_all():
    facts = ("08:00 transport-start", "11:00 transport-end", "12:00 transport-start")

    found = carried("12:30", *facts, rules=small(TOTAL_AND_SLEDGE).protocol)

    assert clock(found, "transport").ends == moment("14:00")


@pytest.mark.parametrize("named", [" by=sledge", ""])
def test_where_the_protocol_names_no_way_to_carry_a_vial_none_is_allowed(named):
    found = asked("09:00", CHILLED, f"08:00 transport-start{named}", "08:05 transport-end")

    assert (found_codes(found), found.usable) == (["mode-not-allowed"], False)
    assert "None" not in found.findings[0].says


def test_two_trips_that_both_last_use_up_what_is_left_together():
    """Five hours for both: one hour alone, then four shared by two."""
    rules = small(TOTAL_AND_SLEDGE).protocol

    found = carried(
        "09:30",
        "08:00 transport-start by=sledge",
        "09:00 transport-start by=sledge",
        rules=rules,
    )

    assert clock(found, "transport").ends == moment("11:00")


def test_a_trip_that_begins_when_all_is_used_up_changes_nothing():
    rules = small(TOTAL_AND_SLEDGE).protocol
    both = ("08:00 transport-start by=sledge", "14:00 transport-start by=sledge")

    found = carried("14:30", *both, rules=rules)

    assert clock(found, "transport").ends == moment("13:00")


def test_a_vial_on_its_way_from_the_table_stays_on_the_table_clock():
    facts = ("06:00 to-table", "08:00 transport-start by=vehicle", "09:00 transport-end")

    found = carried("10:00", *facts)

    assert clock(found, "room").used == timedelta(hours=4)


def test_of_three_trips_that_last_the_third_may_begin_when_all_is_used_up():
    """Five hours: one alone, then four shared by two, gone before the third begins."""
    rules = small(TOTAL_AND_SLEDGE).protocol
    starts = (f"{hour} transport-start by=sledge" for hour in ("08:00", "09:00", "13:00"))

    found = carried("13:30", *starts, rules=rules)

    assert clock(found, "transport").ends == moment("11:00")


@pytest.mark.parametrize(
    ("trip", "says", "item"),
    [
        (
            ("08:00 transport-start", "08:01 transport-end by=helicopter"),
            "carried by helicopter, which the protocol does not allow",
            "T9",
        ),
        (
            ("08:00 transport-start", "08:01 transport-end by=bicycle"),
            "carried by bicycle, which the protocol does not allow",
            None,
        ),
        (
            ("08:00 transport-start", "08:41 transport-end by=cart"),
            "carried by cart for 41 min; at most 40 min",
            "T6",
        ),
    ],
    ids=["not allowed", "not in the protocol", "too long"],
)
def test_a_trip_against_the_protocol_says_how_it_was_carried_and_which_item(trip, says, item):
    found = carried("09:00", *trip).findings

    assert [(each.says, each.item) for each in found] == [(says, item)]


def test_a_trip_in_a_way_that_nobody_named_says_so_where_none_is_allowed():
    found = carried(
        "09:00", "08:00 transport-start", "08:01 transport-end", rules=WITHOUT_A_WAY
    )

    assert [each.says for each in found.findings] == [
        "carried in a way that nobody named, which the protocol does not allow"
    ]


BARROW = """
[transport.by.barrow]
item = "T8"
allows = "PT3H"
source = "demo"
"""


def test_the_strictest_way_is_that_with_the_shortest_time_whatever_it_is_called():
    rules = small(BARROW + TRANSPORT).protocol
    trip = ("08:00 transport-start", "08:41 transport-end")

    found = carried("10:00", *trip, rules=rules).findings

    assert [each.says for each in found] == ["carried by cart for 41 min; at most 40 min"]


def test_of_two_ends_the_shorter_time_counts_whatever_its_way_is_called():
    rules = small(BARROW + TRANSPORT).protocol
    ends = ("08:41-08:50 transport-end by=barrow", "08:45-09:00 transport-end by=cart")

    found = carried("10:00", "08:00 transport-start", *ends, rules=rules).findings

    assert [each.says for each in found] == ["carried by cart for 50 min; at most 40 min"]


@pytest.mark.parametrize(
    ("more", "item"), [(PUNCTURED.format(may="false"), "T5"), ("", None)], ids=["named", "not"]
)
def test_a_vial_carried_from_the_minute_it_was_opened_is_carried_open(more, item):
    facts = ("06:35 to-table", "08:00 open", "08:00 transport-start by=cart")

    found = carried("08:05", *facts, rules=small(TRANSPORT + more).protocol).findings

    assert [(each.says, each.item) for each in found if each.code.startswith("punct")] == [
        ("a punctured vial was carried; it is never carried", item)
    ]


def test_too_many_trips_and_too_long_in_all_are_said_with_their_items():
    came = "as=chilled thawed_at=01:00 room_used_min=0 trips_used=1 transport_used_min=241"
    trip = ("08:00 transport-start", "09:00 transport-end by=vehicle")

    found = asked("10:00", f"04:00 arrive {came}", *trip, rules=RULES).findings

    assert sorted((each.says, each.item) for each in found) == [
        ("carried 2 times after leaving the freezer; at most 1", "T4"),
        ("carried for 5 h 1 min in all; at most 5 h", "T3"),
    ]


def test_what_was_used_on_the_way_here_leaves_less_for_the_trip_that_lasts():
    came = "as=chilled thawed_at=01:00 room_used_min=0 trips_used=0 transport_used_min=240"

    found = asked(
        "08:20", f"04:00 arrive {came}", "08:00 transport-start by=vehicle", rules=RULES
    )

    transport = clock(found, "transport")
    assert (transport.ends, transport.limit) == (moment("09:00"), timedelta(hours=1))
    assert transport.used == timedelta(minutes=20)


def test_a_trip_is_over_in_the_moment_it_ends():
    found = carried("09:00", "08:00 transport-start", "09:00 transport-end by=vehicle")

    assert "transport" not in [each.clock for each in found.clocks]


def test_three_trips_side_by_side_end_when_their_time_is_reached_not_before():
    """Of 5 h, 2 ms are used when the third begins; a third of the rest ends at 333.3 µs."""
    start = "transport-start by=vehicle"
    found = carried("08:01", f"08:00 {start}", f"08:00 {start}", f"08:00:00.001 {start}")

    end = moment("09:40") + timedelta(microseconds=334)
    assert clock(found, "transport").ends == end
