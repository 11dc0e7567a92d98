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
from tests.reference.by_hand import (
    OPENED,
    TO_FRIDGE,
    TO_TABLE,
    WORKED,
    at,
    story,
    use_by,
)
from tests.reference.made_up_rules import (
    FIRST_FORM,
    LATER_FORM,
    allows,
    from_open,
    protocol,
)
from tests.reference.vial_clocks import reckon
from tests.reference.wall_clock import moment, readings

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


@pytest.mark.parametrize(
    ("came", "codes"),
    [("2026-02-03T03:00:00-06:00", []), ("2026-02-03T04:00:01-06:00", ["refrozen"])],
    ids=["before the fridge", "after it"],
)
def test_t3_nor_does_it_come_frozen_after_it_was_in_the_fridge(came, codes):
    arrival = (came, "arrive", {"as": "frozen"})

    answer = reckon(story(TO_FRIDGE, arrival), FIRST_FORM, at("2026-02-03T08:00:00-06:00"))

    assert answer["codes"] == codes


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
        ("2026-03-08T02:30:00", ["2026-03-08T08:00:00+00:00"]),
        ("2026-03-08T03:30:00", ["2026-03-08T08:30:00+00:00"]),
    ],
    ids=["shown twice", "skipped", "ordinary"],
)
def test_a_wall_time_is_shown_once_or_twice_or_skipped_at_the_change(wall, instants):
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
