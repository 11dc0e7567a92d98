"""
"Nothing here says usable when any reading of the facts says it is not", by trying readings.

The promise is that of docs/background/vial-clocks.md. A reading puts each fact at one instant
of its interval. The pinned stories are those on which the sentences of the page, followed to
the letter, once broke it; the sentences were mended and the stories stay.
"""

from datetime import datetime

import pytest
from tests.reference.comparison import product_answer
from tests.reference.dice import Dice
from tests.reference.histories import History, history
from tests.reference.made_up_rules import (
    FIRST_FORM,
    allows,
    at_room,
    effective,
    from_open,
    leaves_frozen,
    protocol,
)
from tests.reference.readings import exact_readings, is_exact

from thawline.rules.protocol import AfterOpening

SEED = 1789
READINGS = 16
DAY = "2026-02-03T"


def fact(what, earliest, latest=None):
    at = f"{DAY}{earliest}:00-06:00"
    return {
        "what": what,
        "at": at if latest is None else {"from": at, "to": _on_the_day(latest)},
    }


def _on_the_day(clock):
    return f"{DAY}{clock}:00-06:00"


def asked(at, *events, versions=(FIRST_FORM,), zone="America/Chicago"):
    story = {"lot": "ZZ-1041", "expiry": "2027-08", "zone": zone, "events": list(events)}
    return History(story, versions, datetime.fromisoformat(_on_the_day(at)))


def broken(vague):
    """Yield the readings for which the answer to a vague story promises too much."""
    promised = product_answer(vague)
    if not promised["usable"]:
        return
    for story in exact_readings(vague.story, Dice(1), READINGS):
        told = product_answer(vague._replace(story=story))
        if not told["usable"]:
            yield "usable", story
        if _is_later(promised["use_by"], told["use_by"]):
            yield "use-by", story
        if _is_later(told["ready_at"], promised["ready_at"]):
            yield "ready", story


def _is_later(one, other):
    return one is not None and other is not None and one > other


# --- stories on which an earlier wording of the page broke the promise -----------------------

FRIDGE = fact("to-fridge", "04:00")
SHORT = protocol(clocks={"chilled": leaves_frozen(allows(hours=3))})
LONG = protocol(clocks={"chilled": leaves_frozen(allows(hours=30))})
STOPS_AT_OPENING = protocol(
    clocks={
        "room": at_room(allows(hours=6), AfterOpening.STOPS),
        "open": from_open(allows(hours=6)),
    }
)
MIDNIGHT = datetime.fromisoformat("2026-02-03T00:00-06:00")
SIX = datetime.fromisoformat("2026-02-03T06:00-06:00")

PINNED = [
    pytest.param(
        asked("11:00", FRIDGE, fact("hold", "10:00"), fact("release", "10:30", "11:30")),
        id="a release that may not have come yet",
    ),
    pytest.param(
        asked("11:00", FRIDGE, fact("to-table", "09:00"), fact("to-fridge", "10:00", "12:00")),
        id="a return to the fridge that may not have come yet",
    ),
    pytest.param(
        asked(
            "06:45",
            FRIDGE,
            fact("flag", "06:30", "07:00"),
            versions=(effective(SHORT, 1, MIDNIGHT), effective(LONG, 2, SIX)),
        ),
        id="a flag that may not have been stuck on yet",
    ),
    pytest.param(
        asked("06:46", fact("to-table", "03:50", "06:30"), FRIDGE, fact("open", "06:45")),
        id="taken out of the fridge too early, then opened",
    ),
    pytest.param(
        asked("06:40", fact("to-table", "03:50", "04:10"), FRIDGE, fact("to-table", "06:35")),
        id="out for most of the thaw",
    ),
    pytest.param(
        asked(
            "09:40",
            FRIDGE,
            fact("transport-start", "09:00", "09:20"),
            fact("transport-end", "09:10", "09:30") | {"by": "helicopter"},
        ),
        id="carried by what is not allowed, at times not certain",
    ),
    pytest.param(
        asked(
            "12:00",
            {
                "what": "to-fridge",
                "at": {"from": "2026-02-01T01:30-06:00", "to": "2026-02-01T02:10-06:00"},
            },
            versions=(protocol(clocks={"chilled": leaves_frozen(allows(35))}),),
        ),
        id="35 days that end on the night the clocks change",
    ),
    pytest.param(
        asked("10:00", FRIDGE, fact("open", "07:00", "08:00")),
        id="opened in the fridge some time in an hour",
    ),
    pytest.param(
        asked("10:00", FRIDGE, fact("to-freezer", "03:00", "05:00")),
        id="to the freezer before or after the fridge",
    ),
    pytest.param(
        asked("10:00", FRIDGE, fact("to-table", "07:00"), fact("open", "07:10", "07:20")),
        id="opened some time in ten minutes",
    ),
    pytest.param(
        asked(
            "11:00",
            FRIDGE,
            fact("to-table", "06:35"),
            fact("open", "10:00", "12:00"),
            versions=(STOPS_AT_OPENING,),
        ),
        id="an opening, which stops a clock, that may not have come yet",
    ),
]


@pytest.mark.parametrize("vague", PINNED)
def test_no_reading_of_a_vial_called_usable_says_otherwise(vague):
    assert not list(broken(vague))


# --- random stories -----------------------------------------------------------------------


def broken_in(numbers):
    """
    Try the stories of these numbers that have more than one reading.

    Ready is compared once all has happened: until then a move still to come may make a vial
    ready sooner than staying where it is.
    """
    stories = [history(SEED, number) for number in numbers]
    tried = [vague for vague in stories if not is_exact(vague.story)]
    assert len(tried) > 20
    return [
        (vague, what, reading)
        for vague in tried
        for what, reading in broken(vague)
        if what != "ready" or _all_has_happened(vague)
    ]


def _all_has_happened(vague):
    ends = [event["at"] for event in vague.story["events"]]
    latest = [end["to"] if isinstance(end, dict) else end for end in ends]
    return vague.at >= max(map(datetime.fromisoformat, latest))


@pytest.mark.parametrize("first", range(0, 2_000, 250))
def test_random_stories_keep_the_promise_in_every_reading_tried(first):
    assert not broken_in(range(first, first + 250))


@pytest.mark.histories
@pytest.mark.parametrize("first", range(10_000, 50_000, 2_000))
def test_many_stories_keep_the_promise_in_every_reading_tried(first):
    assert not broken_in(range(first, first + 2_000))
