"""
Until when a vial may be used, and in which state it is; figures made up, see tests/cast.py.

The rules are those of docs/background/vial-clocks.md, its worked example included.
"""

from dataclasses import replace
from datetime import timedelta

import pytest
from tests.cast import small
from tests.vial.stories import (
    OPEN,
    SMALL,
    THAWED,
    asked,
    clock,
    found_codes,
    moment,
    stops_on_opening,
    story,
)

from thawline.adapters.rule_files import load
from thawline.base.errors import RecordError
from thawline.base.findings import Level
from thawline.base.instants import read_instant
from thawline.vial.reckon import State, against_use, reckon
from thawline.vial.story import read_story

CAP = (
    '[caps.total]\nitem = "C9"\ncounts = ["room", "open"]\nallows = "PT11H"\nsource = "demo"\n'
)
PUNCTURES = '[punctures]\nitem = "D5"\nmost = 5\nsource = "demo"\n'
BEFORE = timedelta(milliseconds=1)


# --- states -------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("time", "facts", "state"),
    [
        ("03:00", ("04:00 to-fridge",), State.FROZEN),
        ("05:59", ("04:00 to-fridge",), State.THAWING),
        ("06:00", ("04:00 to-fridge",), State.CHILLED),
        ("06:44", THAWED, State.WARMING),
        ("06:45", THAWED, State.READY),
        ("07:00", OPEN, State.OPEN),
        ("04:49", ("04:00 to-table",), State.THAWING),
        ("04:50", ("04:00 to-table",), State.READY),
        ("05:00", ("04:00 warmed",), State.THAWING),
        ("08:00", (*OPEN, "07:30 hold"), State.HELD),
        ("08:00", (*OPEN, "07:30 hold", "07:40 discard"), State.DISCARDED),
    ],
)
def test_the_states_of_a_vial_on_its_way(time, facts, state):
    assert asked(time, *facts).state is state


def test_without_a_word_a_vial_starts_frozen_and_keeps_to_its_label():
    found = asked("12:00")

    assert (found.state, found.usable, found.ready_at) == (State.FROZEN, True, None)
    assert (found.use_by, found.set_by) == (
        moment("00:00").replace(month=9, day=1, hour=5),
        "label",
    )


# --- limits -------------------------------------------------------------------------------


def test_the_worked_example_of_the_page():
    """Example-10: chilled 30 days, room 12 h, open 6 h; thaw 2 h 30, then 15 min."""
    rules = load("example-10-v1").protocol
    facts = ("04:00 to-fridge", "06:35 to-table", "07:02 open")

    found = asked("09:00", *facts, rules=rules)

    assert asked("06:40", *facts, rules=rules).ready_at == moment("06:50")
    assert clock(found, "chilled").ends == moment("04:00").replace(month=3, day=5)
    assert clock(found, "room").ends == moment("18:35")
    assert (found.use_by, found.set_by) == (moment("13:02"), "open")
    assert asked("13:01:59", *facts, rules=rules).usable is True
    assert asked("13:02", *facts, rules=rules).usable is False


@pytest.mark.parametrize(
    ("late", "usable"),
    [(-BEFORE, True), (timedelta(0), False), (BEFORE, False)],
    ids=["1 ms before", "at the limit", "1 ms after"],
)
def test_exactly_at_the_limit_a_vial_is_past(late, usable):
    found = reckon(story(*OPEN), SMALL, moment("12:00") + late)

    assert found.usable is usable
    assert ("past-use-by" in found_codes(found)) is not usable


def test_past_its_use_by_the_finding_names_the_clock_the_item_and_the_local_time():
    found = asked("12:00", *OPEN)

    (stop,) = found.findings
    assert (stop.level, stop.code, stop.item) == (Level.STOP, "past-use-by", "C4")
    assert stop.says == "past its use-by time: open ended 2026-02-03T12:00:00-06:00"


def test_a_closed_vial_has_ten_hours_on_the_table():
    found = asked("07:00", *THAWED)

    assert (found.use_by, found.set_by, found.set_by_item) == (moment("16:35"), "room", "C2")


def test_stays_on_the_table_add_up_and_are_never_reset():
    """Made up: 10 h in all; 4 h, 3 h and 1 h are used, so 2 h are left."""
    stays = (
        "04:00 to-fridge",
        *("06:00 to-table", "10:00 to-fridge"),
        *("11:00 to-table", "14:00 to-fridge"),
        "15:00 to-table",
    )

    found = asked("16:00", *stays)

    assert clock(found, "room").used == timedelta(hours=8)
    assert (found.use_by, found.set_by) == (moment("18:00"), "room")


def test_put_away_in_the_very_moment_when_its_time_is_used_up_a_vial_is_past():
    just_in_time = asked("17:00", "04:00 to-fridge", "06:00 to-table", "15:59:59.999 to-fridge")
    too_late = asked("17:00", "04:00 to-fridge", "06:00 to-table", "16:00 to-fridge")

    assert (just_in_time.usable, too_late.usable) == (True, False)
    assert too_late.use_by == moment("16:00")


def test_in_the_refrigerator_the_table_clock_is_paused_and_keeps_what_it_used():
    found = asked("12:00", "04:00 to-fridge", "06:00 to-table", "10:00 to-fridge")

    room = clock(found, "room")
    assert (room.ends, room.used, room.left(moment("12:00"))) == (
        None,
        timedelta(hours=4),
        timedelta(hours=6),
    )
    assert found.set_by == "chilled"


def test_the_refrigerator_clock_never_pauses():
    """20 days from leaving the freezer, wherever it stood since."""
    found = asked("22/12:00", "04:00 to-fridge", "06:00 to-table", "10:00 to-fridge")

    assert found.use_by == moment("23/04:00")
    assert asked("23/04:00", "04:00 to-fridge").usable is False
    assert asked("23/03:59:59.999", "04:00 to-fridge").usable is True


def test_opening_does_not_stop_the_table_clock_unless_the_protocol_says_so():
    facts = ("04:00 to-fridge", "06:00 to-table", "12:00 open")

    runs = asked("13:00", *facts)
    stops = asked("13:00", *facts, rules=stops_on_opening(SMALL))

    assert (runs.use_by, runs.set_by) == (moment("16:00"), "room")
    assert (stops.use_by, stops.set_by) == (moment("17:00"), "open")
    assert clock(stops, "room").used == timedelta(hours=6)


def test_a_joint_cap_counts_every_minute_once():
    """Made up: 11 h for table and open together; 9 h on the table before opening leave 2 h."""
    capped = small(CAP).protocol

    found = asked("15:30", "04:00 to-fridge", "06:00 to-table", "15:00 open", rules=capped)

    assert (found.use_by, found.set_by) == (moment("16:00"), "room")  # 10 h of the table
    assert clock(found, "total").ends == moment("17:00")
    assert clock(found, "total").used == timedelta(hours=9, minutes=30)


def test_a_joint_cap_does_not_run_before_one_of_its_clocks_does():
    found = asked("12:00", "04:00 to-fridge", rules=small(CAP).protocol)

    assert [each.clock for each in found.clocks] == ["label", "chilled"]


def test_a_clock_that_stops_at_opening_runs_until_then():
    found = asked("09:00", *THAWED, rules=stops_on_opening(SMALL))

    assert (found.use_by, found.set_by) == (moment("16:35"), "room")


@pytest.mark.parametrize(
    ("time", "use_by", "sets"),
    [("15:00", "16:00", "room"), ("15:30", "20:00", "open")],
    ids=["it may not have come yet", "it has come"],
)
def test_an_opening_stops_the_table_clock_once_it_has_certainly_come(time, use_by, sets):
    rules = stops_on_opening(small(open="PT6H").protocol)
    facts = ("04:00 to-fridge", "06:00 to-table", "14:00-15:30 open")

    found = asked(time, *facts, rules=rules)

    assert (found.use_by, found.set_by) == (moment(use_by), sets)


def test_a_joint_cap_also_counts_an_open_vial_that_is_back_in_the_refrigerator():
    capped = stops_on_opening(small(CAP, open="PT24H").protocol)
    facts = ("04:00 to-fridge", "06:00 to-table", "13:00 open", "14:00 to-fridge")

    found = asked("15:00", *facts, rules=capped)

    assert (found.use_by, found.set_by) == (moment("17:00"), "total")


def test_a_vial_is_never_used_after_the_day_on_its_label():
    late = asked("12:00", *OPEN, expiry="2026-02-02")

    assert (late.usable, late.set_by) == (False, "label")
    assert late.use_by == moment("00:00")


def test_where_two_limits_end_together_the_label_is_named():
    found = asked(
        "12:00",
        "04:00 to-fridge",
        expiry="2026-02-22",
        rules=small(chilled="P19DT20H").protocol,
    )

    assert (found.use_by, found.set_by) == (moment("23/00:00"), "label")


def test_hours_run_on_through_the_night_when_the_clocks_go_forward():
    """Opened 22:00 on 7 March in Chicago: five hours later the wall shows 04:00."""
    facts = [
        {"at": "2026-03-07T18:00:00-06:00", "what": "to-fridge"},
        {"at": "2026-03-07T21:00:00-06:00", "what": "to-table"},
        {"at": "2026-03-07T22:00:00-06:00", "what": "open"},
    ]
    told = {"lot": "ZZ-1041", "expiry": "2026-08", "zone": "America/Chicago", "events": facts}
    found = reckon(read_story(told), SMALL, read_instant("2026-03-07T23:00:00-06:00"))

    assert found.use_by == read_instant("2026-03-08T04:00:00-05:00")


# --- uncertain times ----------------------------------------------------------------------


def test_use_by_counts_from_the_earlier_bound():
    found = asked("08:00", *THAWED, "07:00-07:30 open")

    assert found.use_by == moment("12:00")


def test_ready_counts_from_the_later_bound():
    found = asked("06:40", "04:00 to-fridge", "06:30-06:40 to-table")

    assert found.ready_at == moment("06:50")
    assert clock(found, "room").ends == moment("16:30")


def test_what_has_not_begun_by_then_has_not_happened():
    assert asked("06:34", *OPEN).state is State.CHILLED


def test_when_the_order_of_the_last_moves_is_not_known_nobody_knows_when_it_is_ready():
    found = asked("09:00", "04:00-05:00 to-fridge", "04:30-06:00 to-table")

    assert (found.ready_at, found.not_known) == (None, ("ready_at",))
    assert "order-not-known" in found_codes(found)
    assert found.may_be_opened(moment("09:00")) is False


def test_an_expiry_that_nobody_knows_makes_a_vial_unusable():
    unknown = story(*OPEN).__class__("ZZ-1041", None, story().zone, story(*OPEN).facts)

    found = reckon(unknown, SMALL, moment("08:00"))

    assert (found.usable, found.use_by, found.set_by) == (False, None, None)
    assert found.not_known == ("expiry",)
    assert [each.code for each in against_use("HK47M", found)] == ["use-by-not-known"]


# --- opening and drawing ------------------------------------------------------------------


def test_a_vial_opened_before_it_was_thawed_is_not_used_any_more():
    found = asked("06:30", "04:00 to-fridge", "05:59 open")

    assert (found.usable, found_codes(found)) == (False, ["opened-while-thawing"])


def test_a_vial_opened_before_it_left_the_freezer_is_not_used():
    found = asked("06:30", "05:00 open")

    assert found_codes(found) == ["opened-while-thawing"]
    assert found.usable is False


@pytest.mark.parametrize(
    ("opened", "codes"),
    [("06:44:59.999", ["opened-while-warming"]), ("06:45", [])],
    ids=["1 ms early", "when ready"],
)
def test_a_vial_opened_before_it_stood_its_time_is_asked_about(opened, codes):
    found = asked("07:00", *THAWED, f"{opened} open")

    assert (found_codes(found), found.usable) == (codes, True)


def test_opened_twice_the_clock_runs_from_the_first_time():
    found = asked("09:00", *OPEN, "08:00 open")

    assert (found.use_by, found_codes(found)) == (moment("12:00"), ["opened-twice"])
    assert found.usable is True


def test_a_dose_drawn_from_a_closed_vial_opened_it():
    found = asked("09:00", *THAWED, "07:00 draw doses=1")

    assert (found.state, found.use_by) == (State.OPEN, moment("12:00"))


@pytest.mark.parametrize(
    ("doses", "codes", "usable"),
    [(8, [], True), (9, ["extra-dose"], True), (10, ["too-many-doses"], False)],
)
def test_more_doses_than_a_vial_gives_are_found(doses, codes, usable):
    found = asked("09:00", *OPEN, f"07:10 draw doses={doses}")

    assert (found_codes(found), found.usable) == (codes, usable)


@pytest.mark.parametrize(("draws", "codes"), [(5, []), (6, ["too-many-punctures"])])
def test_punctures_are_counted_where_the_protocol_limits_them(draws, codes):
    rules = small(PUNCTURES).protocol

    found = asked("09:00", *OPEN, *(f"07:1{n} draw doses=1" for n in range(draws)), rules=rules)

    assert found_codes(found) == codes


# --- holds and the end --------------------------------------------------------------------


def test_a_held_vial_is_not_used_until_it_is_released():
    held = asked("08:00", *OPEN, "07:30 hold why=shaken")
    released = asked("08:00", *OPEN, "07:30 hold", "07:45 release")

    assert (held.state, held.usable, found_codes(held)) == (State.HELD, False, ["held"])
    assert (released.state, released.usable) == (State.OPEN, True)
    assert held.findings[0].says == "HELD – DO NOT USE: shaken"  # noqa: RUF001


def test_a_hold_written_down_after_a_release_stands_whatever_time_it_bears():
    found = asked("08:00", *OPEN, "07:10 hold", "07:30 release", "07:20 hold why=shaken")

    assert (found.usable, found.findings[0].says) == (False, "HELD – DO NOT USE: shaken")  # noqa: RUF001


def test_a_release_that_may_have_come_before_the_hold_ends_nothing():
    found = asked("09:00", *OPEN, "07:30 hold", "07:20-07:40 release")

    assert found.usable is False


@pytest.mark.parametrize(
    ("facts", "usable"),
    [
        (("07:30 hold", "07:30 release"), True),
        (("07:30 release", "07:30 hold"), False),
        (("07:30 hold", "07:30-07:40 release"), True),
        (("07:20-07:30 hold", "07:30 release"), True),
        (("07:30 release", "07:20-07:30 hold"), False),
    ],
)
def test_at_one_moment_what_was_written_down_later_came_later(facts, usable):
    assert asked("08:00", *OPEN, *facts).usable is usable


@pytest.mark.parametrize(
    ("ends", "held"),
    [
        ((), ["held", "lot-held"]),
        (("own",), ["lot-held"]),
        (("lot",), ["held"]),
        (("own", "lot"), []),
    ],
    ids=["none", "the vial's", "the lot's", "both"],
)
def test_a_vials_own_hold_and_its_lots_hold_each_end_with_their_own_release(ends, held):
    own = story(*OPEN, "07:10 hold", "07:20 release").facts
    lots = tuple(replace(fact, of_lot=True) for fact in own[-2:])
    released = [fact for name, fact in (("own", own[-1]), ("lot", lots[1])) if name in ends]
    facts = (*own[:-1], lots[0], *released)

    found = reckon(replace(story(), facts=facts), SMALL, moment("08:00"))

    assert found_codes(found) == held
    assert found.usable is (not held)


@pytest.mark.parametrize("back", ["05:00 to-freezer", "03:50-04:10 to-freezer"])
def test_a_thawed_vial_that_was_frozen_again_is_held_for_ever(back):
    found = asked("12:00", "04:00 to-fridge", back, "06:00 release", "07:00 release")

    assert (found.state, found.usable) == (State.HELD, False)
    assert "refrozen" in found_codes(found)


@pytest.mark.parametrize(
    "facts",
    [
        ("04:00 to-fridge", "05:00 arrive as=frozen"),
        ("04:00 to-fridge", "04:00 arrive as=frozen"),
        ("04:00 to-fridge", "03:50-04:10 arrive as=frozen"),
    ],
    ids=["came after it", "written after it", "may have come after it"],
)
def test_a_vial_that_came_frozen_after_it_had_left_the_freezer_is_held_for_ever(facts):
    found = asked("12:00", *facts, "06:00 to-fridge", "11:00 release")

    assert (found.state, found.usable) == (State.HELD, False)
    assert "refrozen" in found_codes(found)


def test_a_vial_that_came_frozen_and_then_left_the_freezer_is_not_refrozen():
    found = asked("12:00", "04:00 to-fridge", "03:00 arrive as=frozen")

    assert (found.state, found_codes(found)) == (State.CHILLED, [])


def test_a_vial_put_into_the_freezer_before_it_ever_left_it_is_frozen():
    assert asked("12:00", "03:00 to-freezer").state is State.FROZEN


@pytest.mark.parametrize(
    ("room_c", "codes"),
    [
        ("25", []),
        ("25.1", ["table-out-of-range"]),
        ("2", []),
        ("1.9", ["table-out-of-range"]),
        ("0", ["table-out-of-range", "refrozen"]),
        ("0.1", ["table-out-of-range"]),
    ],
)
def test_a_table_out_of_its_band_holds_the_vial(room_c, codes):
    found = asked("07:00", "04:00 to-fridge", f"06:35 to-table room_c={room_c}")

    assert found_codes(found) == codes
    assert (found.state is State.HELD) is bool(codes)


def test_a_hold_for_a_hot_table_can_be_released_and_a_freezing_one_cannot():
    hot = asked("08:00", "04:00 to-fridge", "06:35 to-table room_c=26", "07:00 release")
    cold = asked("08:00", "04:00 to-fridge", "06:35 to-table room_c=-1", "07:00 release")

    assert (hot.usable, cold.usable) == (True, False)


def test_what_is_written_after_a_discard_changes_nothing_and_is_found():
    found = asked("09:00", *OPEN, "07:30 discard", "08:00 hold", "08:10 draw doses=1")

    assert (found.state, found.usable) == (State.DISCARDED, False)
    assert found_codes(found) == ["after-discard", "after-discard"]


# --- arrivals -----------------------------------------------------------------------------

HISTORY = "as=chilled thawed_at=01:00 room_used_min=60 transport_used_min=30 trips_used=1"


def test_a_chilled_arrival_goes_on_with_its_history():
    found = asked("06:00", f"05:00 arrive {HISTORY}")

    assert (found.state, found.usable, found.not_known) == (State.CHILLED, True, ())
    assert (found.use_by, found.set_by) == (moment("23/01:00"), "chilled")
    assert clock(found, "room").used == timedelta(hours=1)


def test_room_time_used_elsewhere_is_gone():
    found = asked("07:00", f"05:00 arrive {HISTORY}", "06:00 to-table")

    assert (found.use_by, found.ready_at) == (moment("15:00"), moment("06:10"))


def test_an_arrival_that_had_used_up_its_room_time_is_past_on_arrival():
    spent = HISTORY.replace("room_used_min=60", "room_used_min=600")

    found = asked("06:00", f"05:00 arrive {spent}")

    assert (found.usable, found.use_by, found.set_by) == (False, moment("05:00"), "room")


def test_a_joint_cap_counts_what_an_arrival_had_used():
    rules = small(CAP).protocol
    spent = HISTORY.replace("room_used_min=60", "room_used_min=540")

    found = asked("07:00", f"05:00 arrive {spent}", "06:00 to-table", rules=rules)

    assert clock(found, "total").ends == moment("08:00")


@pytest.mark.parametrize(
    "missing", ["thawed_at", "room_used_min", "transport_used_min", "trips_used"]
)
def test_a_chilled_arrival_with_a_gap_in_its_history_is_held(missing):
    gap = " ".join(part for part in HISTORY.split(" ") if not part.startswith(missing))

    found = asked("06:00", f"05:00 arrive {gap}")

    assert (found.state, found.usable, found.not_known) == (State.HELD, False, (missing,))
    assert missing in found.findings[0].says


@pytest.mark.parametrize("missing", ["thawed_at", "room_used_min"])
def test_without_thaw_start_or_room_time_no_release_makes_it_usable(missing):
    gap = " ".join(part for part in HISTORY.split(" ") if not part.startswith(missing))

    found = asked("07:00", f"05:00 arrive {gap}", "06:00 release")

    assert (found.usable, found.use_by) == (False, None)


def test_with_only_its_trips_unknown_a_release_makes_it_usable():
    gap = HISTORY.replace(" trips_used=1", "")

    assert asked("07:00", f"05:00 arrive {gap}", "06:00 release").usable is True


def test_what_is_left_of_a_limit_is_never_below_nothing_and_not_known_with_a_gap():
    late = asked("13:00", *OPEN)
    gap = asked("06:00", "05:00 arrive as=chilled thawed_at=01:00")

    assert clock(late, "open").left(moment("13:00")) == timedelta(0)
    assert clock(late, "room").left(moment("13:00")) == timedelta(hours=3, minutes=35)
    assert clock(gap, "room").left(moment("06:00")) is None


def test_a_frozen_arrival_starts_no_clock():
    found = asked("12:00", "05:00 arrive as=frozen")

    assert (found.state, found.set_by) == (State.FROZEN, "label")


def test_a_unit_that_warmed_starts_the_clock_from_the_last_reading_in_band():
    found = asked("12:00", "02:08-02:20 warmed")

    assert (found.state, found.use_by) == (State.THAWING, moment("23/02:08"))


# --- may it be used -----------------------------------------------------------------------


def test_there_is_a_reason_against_use_exactly_when_a_vial_is_not_usable():
    told = [
        asked("08:00", *OPEN),
        asked("12:00", *OPEN),
        asked("09:00", *OPEN, "08:00 discard"),
    ]

    assert [(one.usable, bool(against_use("HK47M", one))) for one in told] == [
        (True, False),
        (False, True),
        (False, True),
    ]


@pytest.mark.parametrize(("time", "may"), [("06:44", False), ("06:45", True), ("16:35", False)])
def test_a_vial_may_be_opened_while_it_is_ready_and_not_past(time, may):
    assert asked(time, *THAWED).may_be_opened(moment(time)) is may


def test_an_interval_that_ends_before_it_starts_is_no_fact():
    with pytest.raises(RecordError, match="before it starts"):
        asked("08:00", *THAWED, "07:30-07:00 open")


def test_the_table_clock_says_since_when_it_runs_and_how_much_there_is():
    room = clock(asked("08:00", *OPEN), "room")

    assert (room.started, room.limit) == (moment("06:35"), timedelta(hours=10))


def test_where_nobody_knows_how_much_room_time_was_used_the_clock_still_says_its_limit():
    came = "as=chilled thawed_at=01:00 transport_used_min=0 trips_used=0"

    room = clock(asked("08:00", f"04:00 arrive {came}", "06:00 to-table"), "room")

    assert (room.started, room.used, room.ends) == (moment("06:00"), None, None)
    assert room.limit == timedelta(hours=10)


def test_the_open_clock_says_since_when_how_long_and_how_much_there_is():
    opened = clock(asked("08:30", *OPEN), "open")

    assert (opened.started, opened.ends) == (moment("07:00"), moment("12:00"))
    assert (opened.used, opened.limit) == (timedelta(minutes=90), timedelta(hours=5))


def test_a_joint_limit_says_its_item_since_when_and_how_much_there_is():
    total = clock(asked("08:00", *OPEN, rules=small(CAP).protocol), "total")

    assert (total.item, total.started) == ("C9", moment("06:35"))
    assert total.limit == timedelta(hours=11)


@pytest.mark.parametrize("name", ["room", "total"])
def test_room_time_used_before_it_came_counts_from_the_arrival(name):
    came = "as=chilled thawed_at=01:00 room_used_min=60 transport_used_min=0 trips_used=0"

    found = asked("08:00", f"04:00 arrive {came}", rules=small(CAP).protocol)

    assert clock(found, name).started == moment("04:00")
    assert clock(found, name).used == timedelta(hours=1)


def test_a_stay_on_the_table_is_over_in_the_moment_of_the_return():
    room = clock(asked("07:00", *THAWED, "07:00 to-fridge"), "room")

    assert (room.ends, room.used) == (None, timedelta(minutes=25))


def test_a_release_counts_only_once_it_has_certainly_come():
    facts = (*THAWED, "07:00 hold", "07:10-07:40 release")

    assert asked("07:39", *facts).state is State.HELD
    assert asked("07:40", *facts).state is State.READY


def test_what_comes_after_the_first_discard_is_after_it_whatever_comes_then():
    found = asked("08:00", *OPEN, "07:10 discard", "07:20 draw doses=1", "07:30 discard")

    assert [each.says for each in found.findings] == [
        "draw written after it was discarded",
        "discard written after it was discarded",
    ]


def test_a_discarded_vial_is_never_ready():
    assert asked("08:00", *THAWED, "07:00 discard").ready_at is None
