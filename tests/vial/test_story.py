"""What a story may hold, and how it says what it may not."""

from datetime import timedelta
from decimal import Decimal

import pytest

from thawline.base.errors import NaiveTimeError, RecordError, UnknownZoneError
from thawline.vial.story import History, What, read_story

NOON = "2026-02-03T12:00:00-06:00"
ONE = "2026-02-03T13:00:00-06:00"
STORY = {"lot": "ZZ-1041", "expiry": "2026-08", "zone": "America/Chicago", "events": []}


def told(*events, **changed):
    return read_story({**STORY, "events": list(events), **changed})


def event(what="to-fridge", **more):
    return {"at": NOON, "what": what, **more}


@pytest.mark.parametrize("key", ["lot", "expiry", "zone", "events"])
def test_a_story_has_a_lot_an_expiry_a_zone_and_events(key):
    short = {name: value for name, value in STORY.items() if name != key}

    with pytest.raises(RecordError, match=f"the story has no '{key}'"):
        read_story(short)


@pytest.mark.parametrize(
    ("changed", "says"),
    [
        ({"lot": 1041}, "lot: expected str, found 1041"),
        ({"expiry": None}, "expiry: expected str, found None"),
        ({"zone": 6}, "zone: expected str"),
        ({"events": {}}, "events: expected list"),
        ({"batch": 1, "colour": 2}, "story: unknown 'batch', 'colour'"),
    ],
)
def test_other_values_and_keys_are_refused_by_name(changed, says):
    with pytest.raises(RecordError, match=says):
        told(**changed)


def test_an_unknown_zone_is_refused():
    with pytest.raises(UnknownZoneError, match="Mars"):
        told(zone="Mars/Olympus")


@pytest.mark.parametrize("what", list(What))
def test_every_word_of_a_story_is_understood(what):
    more = {"doses": 1} if what is What.DRAW else {}
    more |= {"as": "frozen"} if what is What.ARRIVE else {}

    assert told(event(what.value, **more)).facts[0].what is what


@pytest.mark.parametrize("what", ["thawed", "", None, 3, "TO-FRIDGE"])
def test_another_word_is_refused_and_the_words_are_listed(what):
    with pytest.raises(RecordError, match="event 1: unknown 'what'") as error:
        told(event(what))

    assert "to-fridge, to-table" in error.value.advice


@pytest.mark.parametrize(
    ("wrong", "says"),
    [
        ("to-fridge", "event 2: expected dict, found 'to-fridge'"),
        ({"what": "open"}, "event 2: at: expected str, found None"),
        ({"what": "open", "at": 5}, "event 2: at: expected str, found 5"),
        ({"what": "open", "at": {"from": NOON}}, "event 2: at: expected str, found None"),
        (
            {"what": "open", "at": {"from": NOON, "to": ONE, "or": 1}},
            "event 2: unknown 'or'",
        ),
        ({"what": "open", "at": NOON, "colour": 1}, "event 2: unknown 'colour'"),
        ({"what": "draw", "at": NOON}, "event 2: a draw has no 'doses'"),
        ({"what": "draw", "at": NOON, "doses": -1}, "event 2: doses is not a whole number"),
        ({"what": "draw", "at": NOON, "doses": True}, "event 2: doses is not a whole number"),
        ({"what": "draw", "at": NOON, "doses": 1.5}, "event 2: doses is not a whole number"),
        ({"what": "draw", "at": NOON, "doses": 10**7}, "event 2: doses is not a whole number"),
        ({"what": "open", "at": NOON, "by": 3}, "event 2: by: expected str"),
        ({"what": "open", "at": NOON, "why": 3}, "event 2: why: expected str"),
        ({"what": "to-table", "at": NOON, "room_c": "warm"}, "room_c is not a temperature"),
        ({"what": "to-table", "at": NOON, "room_c": "nan"}, "between minus 100 and 60"),
        ({"what": "to-table", "at": NOON, "room_c": 61}, "between minus 100 and 60 °C: 61"),
        ({"what": "to-table", "at": NOON, "room_c": -101}, "between minus 100 and 60"),
        ({"what": "open", "at": NOON, "as": "frozen"}, "event 2: only an arrival has as"),
        ({"what": "open", "at": NOON, "trips_used": 1}, "only an arrival has trips_used"),
        ({"what": "arrive", "at": NOON}, "event 2: an arrival as None"),
        ({"what": "arrive", "at": NOON, "as": "warm"}, "event 2: an arrival as 'warm'"),
        (
            {"what": "arrive", "at": NOON, "as": "chilled", "thawed_at": ONE},
            "thawed at .* after it arrived",
        ),
        (
            {"what": "arrive", "at": NOON, "as": "chilled", "room_used_min": -1},
            "event 2: room_used_min is not a whole number",
        ),
        ({"what": "open", "at": {"from": ONE, "to": NOON}}, "before it starts"),
    ],
)
def test_what_cannot_be_a_fact_is_refused_with_its_number(wrong, says):
    with pytest.raises(RecordError, match=says):
        told(event(), wrong)


def test_a_time_without_an_offset_is_refused():
    with pytest.raises(NaiveTimeError, match="2026-02-03T12:00:00"):
        told({"at": "2026-02-03T12:00:00", "what": "open"})


def test_a_vial_arrives_once():
    with pytest.raises(RecordError, match="arrives twice"):
        told(event("arrive", **{"as": "frozen"}), event("arrive", **{"as": "frozen"}))


def test_a_fact_is_read_with_all_that_was_written_down():
    (fact,) = told(
        {
            "at": {"from": NOON, "to": ONE},
            "what": "to-table",
            "room_c": 21.5,
            "by": "cart",
            "why": "queue",
        }
    ).facts

    assert (fact.room_c, fact.by, fact.why) == (Decimal("21.5"), "cart", "queue")
    assert fact.when.hi - fact.when.lo == timedelta(hours=1)
    assert fact.history is None


def test_a_chilled_arrival_says_what_it_knows_of_its_history():
    (fact,) = told(
        event("arrive", **{"as": "chilled", "thawed_at": NOON, "room_used_min": 5})
    ).facts

    assert fact.history.room_used == timedelta(minutes=5)
    assert fact.history.missing() == ("transport_used_min", "trips_used")


def test_a_history_with_nothing_known_misses_everything():
    assert History().missing() == (
        "thawed_at",
        "room_used_min",
        "transport_used_min",
        "trips_used",
    )


def test_a_fact_without_more_words_has_no_doses_and_no_why():
    (fact,) = told(event("open")).facts

    assert (fact.doses, fact.why) == (0, "")


def test_a_million_doses_can_be_written_down():
    assert told(event("draw", doses=1_000_000)).facts[0].doses == 1_000_000
