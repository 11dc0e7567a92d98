"""
The corners of the reference, by hand: vague times, opening, doses, versions, and itself.

Every expected instant was worked out on paper from docs/background/vial-clocks.md, whose
sentences are common practice where the page names no source.
"""

import pytest
from tests.reference.by_hand import (
    CHILLED,
    OPENED,
    TO_FRIDGE,
    TO_TABLE,
    at,
    span,
    story,
    use_by,
)
from tests.reference.comparison import reference_answer
from tests.reference.dice import Dice
from tests.reference.facts import interval
from tests.reference.histories import history
from tests.reference.made_up_rules import (
    FIRST_FORM,
    LATER_FORM,
    allows,
    at_room,
    carriage,
    effective,
    from_open,
    joint,
    leaves_frozen,
    protocol,
)
from tests.reference.readings import exact_readings
from tests.reference.vial_clocks import reckon, standing

from thawline.rules.protocol import AfterOpening

# --- what is not known exactly ----------------------------------------------------------


def test_an_open_somewhere_in_an_hour_counts_from_its_earliest():
    opened = (span("2026-02-03T07:02:00-06:00", "2026-02-03T08:02:00-06:00"), "open")

    ends = use_by([TO_FRIDGE, TO_TABLE, opened], FIRST_FORM, "2026-02-03T09:00:00-06:00")

    assert ends == (at("2026-02-03T13:02:00-06:00"), "open")


def test_a_return_to_the_fridge_that_may_have_come_first_ends_no_stay():
    table = (span("2026-02-03T07:00:00-06:00", "2026-02-03T08:00:00-06:00"), "to-table")
    fridge = (span("2026-02-03T07:59:00-06:00", "2026-02-03T08:30:00-06:00"), "to-fridge")

    ends = use_by([TO_FRIDGE, table, fridge], FIRST_FORM, "2026-02-03T09:00:00-06:00")

    assert ends == (at("2026-02-03T19:00:00-06:00"), "room")


def test_a_stay_lasts_until_the_return_has_certainly_happened():
    table = ("2026-02-03T07:00:00-06:00", "to-table")
    fridge = (span("2026-02-03T08:00:00-06:00", "2026-02-03T08:30:00-06:00"), "to-fridge")

    answer = reckon(
        story(TO_FRIDGE, table, fridge), FIRST_FORM, at("2026-02-03T09:00:00-06:00")
    )

    assert [r["used_min"] for r in answer["clocks"] if r["clock"] == "room"] == [90]


def test_in_the_fridge_a_vial_is_ready_a_quarter_of_an_hour_from_now_at_the_earliest():
    answer = reckon(story(TO_FRIDGE), FIRST_FORM, at("2026-02-03T10:00:00-06:00"))

    assert answer["ready_at"] == at("2026-02-03T10:15:00-06:00")


def test_a_trip_lasts_until_its_latest_possible_end():
    left = ("2026-02-03T09:00:00-06:00", "transport-start")
    there = (
        span("2026-02-03T09:50:00-06:00", "2026-02-03T10:01:00-06:00"),
        "transport-end",
        {"by": "hand-cart"},
    )

    answer = reckon(story(TO_FRIDGE, left, there), FIRST_FORM, at("2026-02-03T11:00:00-06:00"))

    assert answer["codes"] == ["carried-too-long"]


def test_overlapping_stays_count_each_minute_once():
    events = [
        TO_FRIDGE,
        ("2026-02-03T07:00:00-06:00", "to-table"),
        ("2026-02-03T08:00:00-06:00", "to-table"),
        ("2026-02-03T09:00:00-06:00", "to-fridge"),
    ]

    answer = reckon(story(*events), FIRST_FORM, at("2026-02-03T10:00:00-06:00"))

    assert [r["used_min"] for r in answer["clocks"] if r["clock"] == "room"] == [120]


@pytest.mark.parametrize(
    ("first", "second", "state"),
    [("hold", "release", "chilled"), ("release", "hold", "held")],
    ids=["released in the same minute", "held after the release was written"],
)
def test_of_equal_times_the_order_written_down_counts(first, second, state):
    noon = "2026-02-03T12:00:00-06:00"

    answer = reckon(story(TO_FRIDGE, (noon, first), (noon, second)), FIRST_FORM, at(noon))

    assert answer["state"] == state


def test_a_vial_that_may_have_gone_to_the_freezer_after_the_fridge_is_refrozen():
    freezer = (span("2026-02-03T03:00:00-06:00", "2026-02-03T04:00:01-06:00"), "to-freezer")

    answer = reckon(story(freezer, TO_FRIDGE), FIRST_FORM, at("2026-02-03T05:00:00-06:00"))

    assert answer["codes"] == ["order-not-known", "refrozen"]


@pytest.mark.parametrize(
    ("missing", "code"),
    [
        ("thawed_at", "arrived-without-history"),
        ("room_used_min", "arrived-without-history"),
        ("transport_used_min", "arrived-without-history"),
        ("trips_used", "arrived-without-history"),
    ],
)
def test_a_chilled_vial_without_its_history_is_held(missing, code):
    brought = {key: value for key, value in CHILLED.items() if key != missing}

    answer = reckon(
        story(("2026-02-03T04:00:00-06:00", "arrive", brought)),
        FIRST_FORM,
        at("2026-02-03T05:00:00-06:00"),
    )

    assert (answer["state"], answer["codes"]) == ("held", [code])


def test_a_chilled_vial_brings_its_minutes_and_its_thaw_with_it():
    brought = CHILLED | {"room_used_min": 660}
    events = [("2026-02-03T04:00:00-06:00", "arrive", brought), TO_TABLE]

    answer = reckon(story(*events), FIRST_FORM, at("2026-02-03T06:40:00-06:00"))

    assert answer["ready_at"] == at("2026-02-03T06:50:00-06:00")
    assert (answer["use_by"], answer["set_by"]) == (at("2026-02-03T07:35:00-06:00"), "room")


def test_trips_made_before_the_vial_came_count():
    events = [("2026-02-03T04:00:00-06:00", "arrive", CHILLED | {"trips_used": 2})]

    answer = reckon(story(*events), FIRST_FORM, at("2026-02-03T05:00:00-06:00"))

    assert (answer["usable"], answer["codes"]) == (False, ["one-trip-only"])


# --- what may have happened, and in which order -----------------------------------------


@pytest.mark.parametrize(
    ("asked", "state"),
    [("2026-02-03T11:00:00-06:00", "held"), ("2026-02-03T11:30:00-06:00", "chilled")],
    ids=["may not have come", "has come"],
)
def test_a_release_counts_once_it_has_certainly_come(asked, state):
    held = ("2026-02-03T10:00:00-06:00", "hold")
    release = (span("2026-02-03T10:30:00-06:00", "2026-02-03T11:30:00-06:00"), "release")

    assert reckon(story(TO_FRIDGE, held, release), FIRST_FORM, at(asked))["state"] == state


def test_until_a_return_has_certainly_come_the_vial_is_on_the_table():
    table = ("2026-02-03T09:00:00-06:00", "to-table")
    fridge = (span("2026-02-03T10:00:00-06:00", "2026-02-03T12:00:00-06:00"), "to-fridge")

    ends = use_by([TO_FRIDGE, table, fridge], FIRST_FORM, "2026-02-03T11:00:00-06:00")

    assert ends == (at("2026-02-03T21:00:00-06:00"), "room")


def test_a_return_written_down_before_the_move_to_the_table_ends_no_stay():
    eight = "2026-02-03T08:00:00-06:00"
    moves = [TO_FRIDGE, (eight, "to-fridge"), (eight, "to-table")]

    answer = reckon(story(*moves), FIRST_FORM, at("2026-02-03T10:00:00-06:00"))

    assert [r["used_min"] for r in answer["clocks"] if r["clock"] == "room"] == [120]


def test_a_start_in_the_hour_that_comes_twice_may_end_the_days_sooner():
    rules = protocol(clocks={"chilled": leaves_frozen(allows(150))})
    began = span("2026-11-01T01:30:00-05:00", "2026-11-01T01:00:00-06:00")

    ends = use_by([(began, "to-fridge")], rules, "2026-11-02T00:00:00-06:00")

    assert ends == (at("2027-03-31T01:00:00-05:00"), "chilled")


def test_a_thaw_that_may_have_been_broken_off_is_not_credited():
    out = (span("2026-02-03T03:50:00-06:00", "2026-02-03T04:10:00-06:00"), "to-table")

    answer = reckon(
        story(out, TO_FRIDGE, TO_TABLE), FIRST_FORM, at("2026-02-03T06:40:00-06:00")
    )

    assert (answer["state"], answer["ready_at"]) == ("thawing", at("2026-02-03T07:35:00-06:00"))


@pytest.mark.parametrize(
    ("table", "opened", "ready", "codes"),
    [
        ("06:35", "06:49", "06:50", ["opened-while-warming"]),
        ("06:35", "06:50", "06:50", []),
        (("06:50", "07:10"), "07:00", "07:25", ["opened-while-warming"]),
        ("07:00", ("06:00", "08:00"), "08:00", ["opened-while-thawing"]),
        (None, ("07:00", "08:00"), "08:15", ["opened-while-warming"]),
    ],
    ids=[
        "a minute early",
        "when it was ready",
        "perhaps before it was on the table",
        "perhaps before the fridge had thawed it",
        "in the fridge, some time in an hour",
    ],
)
def test_ready_of_an_open_vial_is_what_it_was_for_the_first_open(table, opened, ready, codes):
    moves = [TO_FRIDGE] + ([(_clock(table), "to-table")] if table else [])

    answer = reckon(
        story(*moves, (_clock(opened), "open")), FIRST_FORM, at("2026-02-03T08:00:00-06:00")
    )

    assert (answer["ready_at"], answer["codes"]) == (at(_clock(ready)), codes)


def _clock(shown):
    if isinstance(shown, tuple):
        return span(*map(_clock, shown))
    return f"2026-02-03T{shown}:00-06:00"


def test_a_vial_opened_out_of_the_freezer_was_not_thawed():
    frozen = ("2026-02-03T12:00:00-06:00", "arrive", {"as": "frozen"})
    opened = ("2026-02-03T12:30:00-06:00", "open")

    answer = reckon(story(TO_FRIDGE, frozen, opened), FIRST_FORM, at(opened[0]))

    assert "opened-while-thawing" in answer["codes"]


# --- opening, tables and doses ----------------------------------------------------------


def test_room_time_may_stop_at_opening_only_once_the_vial_is_certainly_open():
    rules = protocol(
        clocks={
            "room": at_room(allows(hours=2), AfterOpening.STOPS),
            "open": from_open(allows(hours=6)),
        }
    )
    opened = (span("2026-02-03T07:00:00-06:00", "2026-02-03T08:30:00-06:00"), "open")

    ends = use_by([TO_FRIDGE, TO_TABLE, opened], rules, "2026-02-03T08:30:00-06:00")

    assert ends == (at("2026-02-03T13:00:00-06:00"), "open")


def test_an_opening_that_may_not_have_come_yet_stops_no_room_time():
    rules = protocol(clocks={"room": at_room(allows(hours=2), AfterOpening.STOPS)})
    opened = (span("2026-02-03T07:00:00-06:00", "2026-02-03T08:30:00-06:00"), "open")

    ends = use_by([TO_FRIDGE, TO_TABLE, opened], rules, "2026-02-03T08:29:00-06:00")

    assert ends == (at("2026-02-03T08:35:00-06:00"), "room")


def test_room_time_stops_when_the_first_of_two_opens_has_certainly_happened():
    rules = protocol(clocks={"room": at_room(allows(hours=2), AfterOpening.STOPS)})
    opens = [
        (span("2026-02-03T07:00:00-06:00", "2026-02-03T09:00:00-06:00"), "open"),
        (span("2026-02-03T07:10:00-06:00", "2026-02-03T07:20:00-06:00"), "open"),
    ]

    answer = reckon(story(TO_FRIDGE, TO_TABLE, *opens), rules, at("2026-02-03T10:00:00-06:00"))

    assert [r["used_min"] for r in answer["clocks"] if r["clock"] == "room"] == [45]


def test_a_cap_counts_each_minute_of_its_clocks_once():
    rules = protocol(caps={"room_total": joint(("room", "open"), allows(hours=4))})

    ends = use_by([TO_FRIDGE, TO_TABLE, OPENED], rules, "2026-02-03T07:30:00-06:00")

    assert ends == (at("2026-02-03T10:35:00-06:00"), "room_total")


@pytest.mark.parametrize(
    ("opened", "codes"),
    [
        ("2026-02-03T06:29:59-06:00", ["opened-while-thawing"]),
        ("2026-02-03T06:30:00-06:00", ["opened-while-warming"]),
    ],
)
def test_opening_in_the_fridge_before_and_after_the_thaw(opened, codes):
    answer = reckon(story(TO_FRIDGE, (opened, "open")), FIRST_FORM, at(opened))

    assert answer["codes"] == codes


@pytest.mark.parametrize(
    ("changed", "ready"),
    [
        ("2026-02-03T05:59:00-06:00", "2026-02-03T06:59:00-06:00"),
        ("2026-02-03T06:00:00-06:00", "2026-02-03T06:15:00-06:00"),
    ],
    ids=["before it was thawed", "when it was thawed"],
)
def test_each_change_of_table_begins_anew(changed, ready):
    first = ("2026-02-03T05:00:00-06:00", "to-table")

    answer = reckon(story(TO_FRIDGE, first, (changed, "to-table")), FIRST_FORM, at(changed))

    assert answer["ready_at"] == at(ready)


@pytest.mark.parametrize(
    ("room_c", "codes"),
    [
        (25, []),
        (25.1, ["table-out-of-range"]),
        (2, []),
        (1.9, ["table-out-of-range"]),
        (0, ["refrozen", "table-out-of-range"]),
    ],
)
def test_a_table_outside_its_band_holds_the_vial(room_c, codes):
    table = ("2026-02-03T06:35:00-06:00", "to-table", {"room_c": room_c})

    answer = reckon(story(TO_FRIDGE, table), FIRST_FORM, at("2026-02-03T06:40:00-06:00"))

    assert answer["codes"] == codes


@pytest.mark.parametrize(
    ("doses", "codes"), [(10, []), (11, ["extra-dose"]), (12, ["too-many-doses"])]
)
def test_an_eleventh_dose_is_noted_and_a_twelfth_stops(doses, codes):
    drawn = ("2026-02-03T07:05:00-06:00", "draw", {"doses": doses})

    answer = reckon(
        story(TO_FRIDGE, TO_TABLE, OPENED, drawn), FIRST_FORM, at("2026-02-03T07:10:00-06:00")
    )

    assert answer["codes"] == codes


def test_a_trip_that_lasts_ends_with_its_first_limit():
    rules = protocol(transport=carriage({"vehicle": allows(hours=3)}, allows(hours=2), 1, None))
    left = ("2026-02-03T09:00:00-06:00", "transport-start", {"by": "vehicle"})

    ends = use_by([TO_FRIDGE, left], rules, "2026-02-03T09:30:00-06:00")

    assert ends == (at("2026-02-03T11:00:00-06:00"), "transport")


# --- several versions -------------------------------------------------------------------

SHORT = protocol(clocks={"chilled": leaves_frozen(allows(5))})
LONG = protocol(clocks={"chilled": leaves_frozen(allows(30))})
FIRST_DAY, THIRD_DAY = at("2026-02-01T00:00:00-06:00"), at("2026-02-05T06:00:00-06:00")
FLAG = ("2026-02-06T08:00:00-06:00", "flag")
FIVE_DAYS, THIRTY_DAYS = at("2026-02-08T04:00:00-06:00"), at("2026-03-05T04:00:00-06:00")


@pytest.mark.parametrize(
    ("before", "after", "events", "ends"),
    [
        (LONG, SHORT, [TO_FRIDGE], FIVE_DAYS),
        (SHORT, LONG, [TO_FRIDGE], FIVE_DAYS),
        (SHORT, LONG, [TO_FRIDGE, FLAG], THIRTY_DAYS),
        (LONG, SHORT, [TO_FRIDGE, FLAG], FIVE_DAYS),
    ],
    ids=["shorter counts at once", "longer waits for ink", "longer after ink", "shorter stays"],
)
def test_a_longer_limit_waits_for_its_new_flag(before, after, events, ends):
    versions = [effective(before, 1, FIRST_DAY), effective(after, 2, THIRD_DAY)]

    answer = standing(story(*events), versions, at("2026-02-07T12:00:00-06:00"))

    assert answer["use_by"] == ends


def test_of_two_flags_the_last_marks_the_vial():
    versions = [effective(SHORT, 1, FIRST_DAY), effective(LONG, 2, THIRD_DAY)]
    early = ("2026-02-03T04:00:00-06:00", "flag")

    answer = standing(story(TO_FRIDGE, early, FLAG), versions, at("2026-02-07T12:00:00-06:00"))

    assert answer["use_by"] == THIRTY_DAYS


def test_a_vial_that_ran_out_is_not_revived_by_a_later_version_and_flag():
    versions = [
        effective(SHORT, 1, FIRST_DAY),
        effective(LONG, 2, at("2026-02-09T06:00:00-06:00")),
    ]
    flagged = story(TO_FRIDGE, ("2026-02-09T08:00:00-06:00", "flag"))

    answer = standing(flagged, versions, at("2026-02-09T09:00:00-06:00"))

    assert (answer["usable"], answer["codes"]) == (False, ["ran-out-before"])


# --- the reference against itself -------------------------------------------------------


def _hours_limits(answer):
    rows = [row for row in answer["clocks"] if row["clock"] not in {"label", "transport"}]
    return [row for row in rows if row["clock"] != "chilled"]


def test_what_is_used_up_at_an_instant_has_ended_by_then_and_nothing_else():
    torn = [
        (number, row["clock"])
        for number in range(1500)
        for asked in [history(7, number)]
        for row in _hours_limits(reckon(asked.story, LATER_FORM, asked.at))
        if (row["left_min"] <= 0) != (row["ends"] is not None and row["ends"] <= asked.at)
    ]

    assert not torn


def test_the_same_seed_and_number_give_the_same_history():
    assert history(28, 4711) == history(28, 4711)


def test_the_histories_reach_every_state_and_every_finding():
    answers = [reference_answer(history(28, number)) for number in range(4000)]

    assert {answer["state"] for answer in answers} == {
        *("discarded", "held", "open", "frozen", "thawing", "warming", "ready", "chilled")
    }
    assert {code for answer in answers for code in answer["codes"]} == {
        *("after-discard", "arrived-without-history", "carried-too-long", "extra-dose"),
        *("carried-too-long-in-all", "held", "mode-not-allowed", "one-trip-only", "refrozen"),
        *("opened-twice", "opened-while-thawing", "opened-while-warming", "order-not-known"),
        *("past-use-by", "punctured-not-carried", "ran-out-before", "table-out-of-range"),
        *("too-many-doses", "too-many-punctures"),
    }
    assert {answer["set_by"] for answer in answers} >= {"label", "chilled", "room", "open"}


def test_each_reading_puts_every_fact_inside_its_interval():
    vague = next(h.story for h in (history(3, n) for n in range(50)) if _is_vague(h.story))

    for reading in exact_readings(vague, Dice(1), most=50):
        for fact, wide in zip(reading["events"], vague["events"], strict=True):
            lo, hi = interval(wide["at"])
            assert lo <= interval(fact["at"])[0] <= hi


def _is_vague(asked):
    return any(isinstance(event["at"], dict) for event in asked["events"])
