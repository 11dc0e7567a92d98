"""The words in which a wrong story or code is refused, and what to do then: exactly these."""

from decimal import Decimal

import pytest
from tests.cast import small

from thawline.base.errors import RecordError
from thawline.base.findings import Finding, Level
from thawline.vial.codes import read_vial_code
from thawline.vial.leaving import table_finding
from thawline.vial.story import read_story

NOON = "2026-02-03T12:00:00-06:00"
STORY = {"lot": "ZZ-1041", "expiry": "2026-08", "zone": "America/Chicago", "events": []}
FACTS = (
    "arrive, to-freezer, to-fridge, to-table, warmed, room-read, open, draw, "
    "transport-start, transport-end, hold, release, discard, flag"
)


def fridge(**more):
    return {"at": NOON, "what": "to-fridge", **more}


def arrival(**more):
    return {"at": NOON, "what": "arrive", "as": "chilled", **more}


@pytest.mark.parametrize(
    ("events", "says", "advice"),
    [
        ([{"at": NOON}], "event 1: unknown 'what': None", f"use one of {FACTS}"),
        (
            [{"at": NOON, "what": "melted"}],
            "event 1: unknown 'what': 'melted'",
            f"use one of {FACTS}",
        ),
        (
            [{"at": NOON, "what": "draw"}],
            "event 1: a draw has no 'doses'",
            "say how many doses",
        ),
        (
            [arrival(**{"as": "thawed"})],
            "event 1: an arrival as 'thawed'",
            "write 'as' frozen or chilled",
        ),
        (
            [fridge(trips_used=1, room_used_min=2)],
            "event 1: only an arrival has room_used_min, trips_used",
            "",
        ),
        (
            [arrival(thawed_at=5)],
            "event 1: at: expected str, found 5",
            "",
        ),
        (
            [arrival(transport_used_min=-1)],
            "event 1: transport_used_min is not a whole number from 0 on: -1",
            "",
        ),
        (
            [arrival(trips_used=1.5)],
            "event 1: trips_used is not a whole number from 0 on: 1.5",
            "",
        ),
        ([arrival(), arrival()], "the vial arrives twice", "keep one 'arrive' in the story"),
        (
            [fridge(room_c=60.1)],
            "event 1: room_c is not between minus 100 and 60 °C: 60.1",
            "write degrees Celsius, as in 21.5",
        ),
    ],
)
def test_a_wrong_fact_is_refused_in_these_words(events, says, advice):
    with pytest.raises(RecordError) as error:
        read_story({**STORY, "events": events})

    assert (error.value.says, error.value.advice) == (says, advice)


@pytest.mark.parametrize("degrees", [-100, 60])
def test_the_coldest_and_the_warmest_temperature_are_taken(degrees):
    told = read_story({**STORY, "events": [fridge(room_c=degrees)]})

    assert told.facts[0].room_c == degrees


@pytest.mark.parametrize("key", ["lot", "expiry", "zone", "events"])
def test_what_a_story_lacks_is_named(key):
    with pytest.raises(RecordError) as error:
        read_story({name: value for name, value in STORY.items() if name != key})

    assert error.value.says == f"the story has no {key!r}"
    assert error.value.advice == f"add {key!r} to the story"


def test_an_unknown_key_is_named_beside_the_known_ones():
    with pytest.raises(RecordError) as error:
        read_story({**STORY, "colour": "white", "box": 1})

    assert error.value.says == "story: unknown 'box', 'colour'"
    assert error.value.advice == "use only events, expiry, lot, vial, zone"


def test_a_wrong_code_is_refused_in_these_words():
    with pytest.raises(RecordError) as form:
        read_vial_code("HK4", "harrowmint")
    with pytest.raises(RecordError) as check:
        read_vial_code("LF79X", "harrowmint")

    assert form.value.says == "not a vial code: 'HK4'"
    assert form.value.advice == "two letters, two digits and a letter, as HK47M"
    assert check.value.says == "vial code LF79X does not check at harrowmint"
    assert check.value.advice == "read it again from the flag, letter by letter"


@pytest.mark.parametrize(
    ("room_c", "says", "item"),
    [
        ("25.1", "the table was at 25.1 °C, above 25 °C", "S3"),
        ("1.9", "the table was at 1.9 °C, below 2 °C", "S2"),
    ],
)
def test_a_table_out_of_its_band_says_which_limit_it_broke(room_c, says, item):
    found = table_finding(Decimal(room_c), small().protocol.bands)

    assert found == Finding(
        Level.STOP,
        "table-out-of-range",
        f"held, do not use, do not discard: {says}",
        item,
    )
