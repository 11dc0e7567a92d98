"""
The reference itself, by hand: every expected instant was worked out on paper.

Sources: the worked example is that of docs/background/vial-clocks.md. Rows B1 to T3 are those
of the project's cold-chain check table, with the source each row names: CDC toolkit 2019 as
quoted (B1, B2), beyond-use date not after expiry (B3), manufacturer's provider page about 2022
(B8), label of 2021 (B9), Oakland County 2022-09-01 (B12), Wisconsin DHS March 2021 (T1), CDC
training module 2021-11-16 and common practice (T2), CDC (T3). All else is common practice.
"""

from datetime import datetime
from zoneinfo import ZoneInfo

import pytest
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
from tests.reference.wall_clock import moment, readings

from thawline.rules.protocol import AfterOpening


def story(*events, expiry="2027-08", zone="America/Chicago"):
    facts = [{"at": at, "what": what, **more} for at, what, more in map(_three, events)]
    return {"lot": "ZZ-1041", "expiry": expiry, "zone": zone, "events": facts}


def _three(event):
    return (*event, {}) if len(event) == 2 else event


def span(earliest, latest):
    return {"from": earliest, "to": latest}


def at(text):
    return datetime.fromisoformat(text)


def use_by(events, rules, asked):
    answer = reckon(story(*events), rules, at(asked))
    return answer["use_by"], answer["set_by"]


CHILLED = {
    "as": "chilled",
    "thawed_at": "2026-02-02T04:00:00-06:00",
    "room_used_min": 0,
    "transport_used_min": 0,
    "trips_used": 0,
}
TO_FRIDGE = ("2026-02-03T04:00:00-06:00", "to-fridge")
TO_TABLE = ("2026-02-03T06:35:00-06:00", "to-table")
OPENED = ("2026-02-03T07:02:00-06:00", "open")
WORKED = story(TO_FRIDGE, TO_TABLE, OPENED, expiry="2026-08")


# --- the worked example -----------------------------------------------------------------


def test_the_worked_example_comes_out_as_the_page_says():
    answer = reckon(WORKED, FIRST_FORM, at("2026-02-03T12:00:00-06:00"))

    ends = {row["clock"]: row["ends"] for row in answer["clocks"]}
    assert ends["chilled"] == at("2026-03-05T04:00:00-06:00")
    assert ends["room"] == at("2026-02-03T18:35:00-06:00")
    assert ends["open"] == at("2026-02-03T13:02:00-06:00")
    assert answer["ready_at"] == at("2026-02-03T06:50:00-06:00")
    assert (answer["state"], answer["set_by"]) == ("open", "open")
    assert answer["use_by"] == at("2026-02-03T13:02:00-06:00")


@pytest.mark.parametrize(
    ("asked", "usable"),
    [("2026-02-03T13:01:59-06:00", True), ("2026-02-03T13:02:00-06:00", False)],
)
def test_at_the_limit_itself_the_worked_example_is_past(asked, usable):
    assert reckon(WORKED, FIRST_FORM, at(asked))["usable"] is usable


@pytest.mark.parametrize(
    ("asked", "state"),
    [
        ("2026-02-03T03:59:59-06:00", "frozen"),
        ("2026-02-03T06:29:59-06:00", "thawing"),
        ("2026-02-03T06:30:00-06:00", "chilled"),
        ("2026-02-03T06:49:59-06:00", "warming"),
        ("2026-02-03T06:50:00-06:00", "ready"),
        ("2026-02-03T07:02:00-06:00", "open"),
    ],
)
def test_the_worked_example_passes_through_its_states(asked, state):
    assert reckon(WORKED, FIRST_FORM, at(asked))["state"] == state


# --- rows of the check table ------------------------------------------------------------


@pytest.mark.parametrize(
    ("expiry", "asked", "usable"),
    [
        ("2021-08", "2021-08-31T23:59:59-05:00", True),
        ("2021-08", "2021-09-01T00:00:00-05:00", False),
        ("2024-02", "2024-02-29T23:59:59-06:00", True),
        ("2024-02", "2024-03-01T00:00:00-06:00", False),
    ],
    ids=["B1 last second", "B1 over", "B2 leap day", "B2 over"],
)
def test_a_month_printed_on_the_label_lasts_through_its_last_day(expiry, asked, usable):
    assert reckon(story(expiry=expiry), FIRST_FORM, at(asked))["usable"] is usable


def test_b3_thirty_days_never_outlast_the_label():
    thawed = story(("2021-08-20T08:00:00-05:00", "to-fridge"), expiry="2021-08")

    answer = reckon(thawed, FIRST_FORM, at("2021-08-30T08:00:00-05:00"))

    assert answer["use_by"] == at("2021-09-01T00:00:00-05:00")
    assert answer["set_by"] == "label"


def test_b8_fourteen_hours_at_room_leave_ten_once_punctured():
    events = [
        ("2022-05-02T03:00:00-05:00", "to-fridge"),
        ("2022-05-02T06:00:00-05:00", "to-table", {"room_c": 20}),
        ("2022-05-02T20:00:00-05:00", "open"),
    ]

    ends = use_by(events, LATER_FORM, "2022-05-02T20:00:00-05:00")

    assert ends == (at("2022-05-03T06:00:00-05:00"), "room_total")


def test_b9_stays_of_five_four_and_two_hours_leave_one_of_twelve():
    events = [
        ("2021-03-01T00:00:00-06:00", "to-fridge"),
        ("2021-03-01T06:00:00-06:00", "to-table"),
        ("2021-03-01T11:00:00-06:00", "to-fridge"),
        ("2021-03-01T12:00:00-06:00", "to-table"),
        ("2021-03-01T16:00:00-06:00", "to-fridge"),
        ("2021-03-02T06:00:00-06:00", "to-table"),
        ("2021-03-02T08:00:00-06:00", "to-fridge"),
    ]

    answer = reckon(story(*events), FIRST_FORM, at("2021-03-02T09:00:00-06:00"))

    room = next(row for row in answer["clocks"] if row["clock"] == "room")
    assert (room["used_min"], room["left_min"], room["ends"]) == (660, 60, None)


def test_b9_the_last_hour_runs_from_the_next_stay():
    events = [
        ("2021-03-01T00:00:00-06:00", "to-fridge"),
        ("2021-03-01T06:00:00-06:00", "to-table"),
        ("2021-03-01T17:00:00-06:00", "to-fridge"),
        ("2021-03-02T06:00:00-06:00", "to-table"),
    ]

    ends = use_by(events, FIRST_FORM, "2021-03-02T06:00:00-06:00")

    assert ends == (at("2021-03-02T07:00:00-06:00"), "room")


@pytest.mark.parametrize(("doses", "refused"), [(20, False), (21, True)])
def test_b12_the_twenty_first_puncture_is_refused(doses, refused):
    drawn = ("2026-02-03T07:05:00-06:00", "draw", {"doses": doses})

    answer = reckon(
        story(TO_FRIDGE, TO_TABLE, OPENED, drawn), LATER_FORM, at("2026-02-03T07:10:00-06:00")
    )

    assert ("too-many-punctures" in answer["codes"]) is refused


@pytest.mark.parametrize(
    ("by", "arrived", "code"),
    [
        ("hand-cart", "2026-02-03T10:00:00-06:00", None),
        ("hand-cart", "2026-02-03T10:01:00-06:00", "carried-too-long"),
        ("fixed-wing", "2026-02-03T12:00:00-06:00", None),
        ("fixed-wing", "2026-02-03T12:01:00-06:00", "carried-too-long"),
        ("vehicle", "2026-02-03T21:00:00-06:00", None),
        ("vehicle", "2026-02-03T21:01:00-06:00", "carried-too-long"),
        ("helicopter", "2026-02-03T09:10:00-06:00", "mode-not-allowed"),
        ("drone", "2026-02-03T09:10:00-06:00", "mode-not-allowed"),
    ],
)
def test_t1_each_way_of_carrying_has_its_longest_time(by, arrived, code):
    left = ("2026-02-03T09:00:00-06:00", "transport-start")
    there = (arrived, "transport-end", {"by": by})

    answer = reckon(story(TO_FRIDGE, left, there), FIRST_FORM, at("2026-02-03T22:00:00-06:00"))

    assert ({code} <= set(answer["codes"])) if code else answer["usable"]
    assert answer["usable"] is (code is None)


def test_t1_a_second_trip_is_refused():
    trips = [
        ("2026-02-03T09:00:00-06:00", "transport-start"),
        ("2026-02-03T09:10:00-06:00", "transport-end", {"by": "vehicle"}),
        ("2026-02-03T10:00:00-06:00", "transport-start"),
        ("2026-02-03T10:10:00-06:00", "transport-end", {"by": "vehicle"}),
    ]

    answer = reckon(story(TO_FRIDGE, *trips), FIRST_FORM, at("2026-02-03T11:00:00-06:00"))

    assert answer["codes"] == ["one-trip-only"]


def test_t1_a_punctured_vial_is_not_carried():
    left = ("2026-02-03T09:00:00-06:00", "transport-start", {"by": "vehicle"})

    answer = reckon(
        story(TO_FRIDGE, TO_TABLE, OPENED, left), FIRST_FORM, at("2026-02-03T09:30:00-06:00")
    )

    assert answer["codes"] == ["punctured-not-carried"]


@pytest.mark.parametrize(
    ("to_table", "ready"),
    [
        ("2026-02-03T06:29:00-06:00", "2026-02-03T07:29:00-06:00"),  # a full room thaw
        ("2026-02-03T06:30:00-06:00", "2026-02-03T06:45:00-06:00"),
    ],
    ids=["2 h 29", "2 h 30"],
)
def test_t2_two_and_a_half_hours_in_the_fridge_then_a_quarter_at_room(to_table, ready):
    moved = story(TO_FRIDGE, (to_table, "to-table"))

    assert reckon(moved, FIRST_FORM, at(to_table))["ready_at"] == at(ready)


def test_t3_a_thawed_vial_is_never_frozen_again():
    back = ("2026-02-03T08:00:00-06:00", "to-freezer")

    answer = reckon(story(TO_FRIDGE, back), FIRST_FORM, at("2026-02-03T08:00:00-06:00"))

    assert (answer["state"], answer["usable"], answer["codes"]) == ("held", False, ["refrozen"])


# --- days, hours and nights when the clocks change --------------------------------------


@pytest.mark.parametrize(
    ("zone", "started", "ends"),
    [
        ("America/Chicago", "2026-02-06T05:00:00-06:00", "2026-03-08T05:00:00-05:00"),
        ("America/Chicago", "2026-10-05T05:00:00-05:00", "2026-11-04T04:00:00-06:00"),
        ("Australia/Lord_Howe", "2026-09-10T05:00:00+10:30", "2026-10-10T05:00:00+11:00"),
        ("Australia/Lord_Howe", "2026-03-10T05:00:00+11:00", "2026-04-09T04:30:00+10:30"),
        ("UTC", "2024-02-01T00:00:00+00:00", "2024-03-02T00:00:00+00:00"),
    ],
    ids=["spring: same wall time", "autumn: 720 hours", "half an hour", "and back", "leap"],
)
def test_thirty_days_end_at_the_earlier_of_two_readings(zone, started, ends):
    thawed = story((started, "to-fridge"), zone=zone)

    answer = reckon(thawed, FIRST_FORM, at(started))

    assert (answer["use_by"], answer["set_by"]) == (at(ends), "chilled")


@pytest.mark.parametrize(
    ("wall", "instants"),
    [
        ("2026-11-01T01:30:00", ["2026-11-01T06:30:00+00:00", "2026-11-01T07:30:00+00:00"]),
        ("2026-03-08T02:30:00", ["2026-03-08T07:30:00+00:00", "2026-03-08T08:30:00+00:00"]),
        ("2026-03-08T03:30:00", ["2026-03-08T08:30:00+00:00"]),
    ],
    ids=["shown twice", "skipped", "ordinary"],
)
def test_a_wall_time_shown_twice_or_skipped_has_two_readings(wall, instants):
    found = readings(datetime.fromisoformat(wall), ZoneInfo("America/Chicago"))

    assert [moment(instant) for instant in found] == [at(text) for text in instants]


@pytest.mark.parametrize(
    ("opened", "ends"),
    [
        ("2021-03-13T22:00:00-05:00", "2021-03-14T05:00:00-04:00"),
        ("2021-11-06T22:00:00-04:00", "2021-11-07T03:00:00-05:00"),
    ],
)
def test_six_hours_are_six_hours_on_both_nights(opened, ends):
    rules = protocol(clocks={"open": from_open(allows(hours=6))})
    vial = story((opened, "open"), zone="America/New_York")

    assert reckon(vial, rules, at(opened))["use_by"] == at(ends)


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

    assert answer["codes"] == ["refrozen"]


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


def test_each_change_of_table_begins_the_thaw_anew_and_ends_the_stay_before_at_once():
    events = [
        TO_FRIDGE,
        ("2026-02-03T05:00:00-06:00", "to-table"),
        ("2026-02-03T07:00:00-06:00", "to-table"),
    ]

    answer = reckon(story(*events), FIRST_FORM, at("2026-02-03T07:10:00-06:00"))

    assert answer["ready_at"] == at("2026-02-03T08:00:00-06:00")


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
