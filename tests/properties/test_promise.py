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
    effective,
    leaves_frozen,
    protocol,
)
from tests.reference.readings import exact_readings, is_exact

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
    """Yield the readings that the answer to the vague story promises too much for."""
    promised = product_answer(vague)
    for story in exact_readings(vague.story, Dice(1), READINGS):
        told = product_answer(vague._replace(story=story))
        if promised["usable"] and not told["usable"]:
            yield "usable", story
        if _is_later(promised["use_by"], told["use_by"]) and promised["usable"]:
            yield "use-by", story
        if _is_later(told["ready_at"], promised["ready_at"]):
            yield "ready", story


def _is_later(one, other):
    return one is not None and other is not None and one > other


# --- stories on which an earlier wording of the page broke the promise -------------------

FRIDGE = fact("to-fridge", "04:00")
SHORT = protocol(clocks={"chilled": leaves_frozen(allows(hours=3))})
LONG = protocol(clocks={"chilled": leaves_frozen(allows(hours=30))})
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
            "12:00",
            {
                "what": "to-fridge",
                "at": {"from": "2026-02-01T01:30-06:00", "to": "2026-02-01T02:10-06:00"},
            },
            versions=(protocol(clocks={"chilled": leaves_frozen(allows(35))}),),
        ),
        id="35 days that end on the night the clocks change",
    ),
]


KEPT = [
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
]


@pytest.mark.parametrize("vague", PINNED + KEPT)
def test_no_reading_of_a_vial_called_usable_says_otherwise(vague):
    assert not list(broken(vague))


# --- random stories without those -------------------------------------------------------


def vague_story(number):
    """A story with intervals that leaves out what the pinned ones show."""
    drawn = history(SEED, number)
    return drawn._replace(story=drawn.story | {"zone": "UTC"}, at=_after_all(drawn))


def _after_all(drawn):
    ends = [event["at"] for event in drawn.story["events"]]
    latest = [end["to"] if isinstance(end, dict) else end for end in ends]
    return max(drawn.at, *map(datetime.fromisoformat, latest))


def _moves_in_doubt(story):
    moves = {"to-fridge", "to-table", "to-freezer", "arrive", "warmed", "open", "draw"}
    spans = [_span(event["at"]) for event in story["events"] if event["what"] in moves]
    return any(
        one is not other and one[0] <= other[0] <= one[1] for one in spans for other in spans
    )


def _span(at):
    ends = (at["from"], at["to"]) if isinstance(at, dict) else (at, at)
    return tuple(map(datetime.fromisoformat, ends))


def broken_in(numbers):
    """Try the stories of these numbers whose moves are not in doubt, a few hundred or more."""
    stories = [vague_story(number) for number in numbers]
    tried = [v for v in stories if not is_exact(v.story) and not _moves_in_doubt(v.story)]
    assert len(tried) > 20
    return [(vague, found) for vague in tried for found in broken(vague)]


@pytest.mark.parametrize("first", range(0, 2_000, 250))
def test_random_stories_keep_the_promise_in_every_reading_tried(first):
    assert not broken_in(range(first, first + 250))


@pytest.mark.histories
@pytest.mark.parametrize("first", range(10_000, 50_000, 2_000))
def test_many_stories_keep_the_promise_in_every_reading_tried(first):
    assert not broken_in(range(first, first + 2_000))
