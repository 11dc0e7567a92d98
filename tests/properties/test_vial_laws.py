"""
Laws of the vial clocks that hold for any handling, asked of the product alone.

Where the rules page itself breaks a law, the law here leaves those stories out and says so;
the page is docs/background/vial-clocks.md. Stories that hold apart from that are random.
"""

from datetime import datetime, timedelta
from itertools import count, pairwise

import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st
from tests.reference.facts import interval
from tests.reference.histories import history
from tests.reference.made_up_rules import FIRST_FORM
from tests.reference.wall_clock import MINUTE, micros, moment

from thawline.rules.protocol import AfterOpening, Protocol, Starts
from thawline.vial.reckon import Reckoning, reckon
from thawline.vial.story import read_story

SEED = 1066
MANY = 200
FROM = datetime.fromisoformat("2026-03-06T00:00-06:00")  # the clocks change two nights on
MS = timedelta(milliseconds=1)
MOVES = ("to-fridge", "to-table", "to-freezer", "arrive", "open", "draw", "warmed")
ADDED = [
    {"what": "open"},
    {"what": "draw", "doses": 1},
    {"what": "to-table"},
    {"what": "hold"},
    {"what": "transport-start", "by": "vehicle"},
    {"what": "discard"},
]
numbers = st.integers(0, 2**40)
minutes = st.integers(0, 3 * 24 * 60)


def told(story: dict, rules: Protocol, at: datetime) -> Reckoning:
    return reckon(read_story(story), rules, at)


def plain_story(number: int) -> tuple[dict, Protocol, datetime]:
    """
    A story whose facts have all happened by `at`, in a zone whose clocks never change.

    Without a discard, because after it "later facts are findings and change nothing"; without
    clock changes, because of two readings of a wall time the earlier counts.
    """
    drawn = history(SEED, number)
    events = [event for event in drawn.story["events"] if event["what"] != "discard"]
    events = events or [{"at": drawn.at.isoformat(), "what": "to-fridge"}]
    latest = max(interval(event["at"])[1] for event in events)
    at = moment(max(latest, micros(drawn.at)))
    return drawn.story | {"zone": "UTC", "events": events}, drawn.versions[0], at


def widened(story: dict, place: int, earlier: int, later: int) -> dict:
    events = list(story["events"])
    lo, hi = interval(events[place]["at"])
    wide = {"from": _iso(lo - earlier * MINUTE), "to": _iso(hi + later * MINUTE)}
    events[place] = events[place] | {"at": wide}
    return story | {"events": events}


def _iso(instant: int) -> str:
    return moment(instant).isoformat()


def order_is_certain(story: dict) -> bool:
    """Whether no two moves or opens of the story could have been the other way round."""
    spans = [interval(event["at"]) for event in story["events"] if event["what"] in MOVES]
    return all(hi < lo for (_, hi), (lo, _) in pairwise(sorted(spans)))


def is_no_later(one: datetime | None, other: datetime | None) -> bool:
    """Compare two use-by instants; not known (None) never promises anything."""
    return one is None or (other is not None and one <= other)


# --- a clock started later --------------------------------------------------------------


@settings(max_examples=MANY)
@given(numbers, minutes, st.integers(1, 600))
def test_a_clock_in_hours_started_later_never_ends_earlier(number, first, delay):
    rules = history(SEED, number).versions[0]
    in_hours = [name for name, clock in rules.clocks.items() if not clock.allows.days]
    starts = [FROM + timedelta(minutes=first), FROM + timedelta(minutes=first + delay)]

    early, late = ([clock_end(rules, name, start) for name in in_hours] for start in starts)

    assert all(one < other for one, other in zip(early, late, strict=True))


def clock_end(
    rules: Protocol, name: str, started: datetime, zone="America/Chicago"
) -> datetime:
    """When a clock ends that the one fact of a story has started."""
    what = {"leaves-frozen": "to-fridge"}.get(rules.clocks[name].starts_on)
    fact = {"at": started.isoformat(), "what": what or str(rules.clocks[name].starts_on)}
    story = {"lot": "ZZ-1041", "expiry": "2030-12", "zone": zone, "events": [fact]}
    return next(c.ends for c in told(story, rules, started).clocks if c.clock == name)


@settings(max_examples=MANY)
@given(minutes, st.integers(1, 600), st.sampled_from(["UTC", "Asia/Kathmandu"]))
def test_a_limit_in_days_started_later_never_ends_earlier_where_clocks_never_change(
    first, delay, zone
):
    starts = [FROM + timedelta(minutes=first), FROM + timedelta(minutes=first + delay)]

    earlier, later = (clock_end(FIRST_FORM, "chilled", start, zone) for start in starts)

    assert earlier < later


@settings(max_examples=MANY)
@given(minutes, st.integers(1, 600))
def test_thirty_days_that_end_as_the_clocks_skip_an_hour_end_in_the_order_they_began(
    first, delay
):
    """A start in the hour that comes twice in autumn may end sooner: the page says so."""
    start = FROM - timedelta(days=29) + timedelta(minutes=first)

    earlier = clock_end(FIRST_FORM, "chilled", start)
    later = clock_end(FIRST_FORM, "chilled", start + timedelta(minutes=delay))

    assert earlier <= later


# --- knowing less -----------------------------------------------------------------------


@settings(max_examples=MANY)
@given(numbers, st.data())
def test_knowing_less_exactly_when_something_happened_never_makes_use_by_later(number, data):
    story, rules, at = plain_story(number)
    place = data.draw(st.integers(0, len(story["events"]) - 1))
    wider = widened(story, place, data.draw(minutes), 0)

    assert is_no_later(told(wider, rules, at).use_by, told(story, rules, at).use_by)


@settings(max_examples=MANY)
@given(numbers, st.data())
def test_knowing_less_about_the_end_never_makes_use_by_later(number, data):
    story, rules, at = plain_story(number)
    place = data.draw(st.integers(0, len(story["events"]) - 1))
    later = data.draw(minutes)
    wider = widened(story, place, 0, later)
    at += timedelta(minutes=later)

    assert is_no_later(told(wider, rules, at).use_by, told(story, rules, at).use_by)


@settings(max_examples=MANY)
@given(numbers, st.data())
def test_knowing_less_never_makes_a_vial_ready_earlier_or_usable_again(number, data):
    story, rules, at = plain_story(number)
    place = data.draw(st.integers(0, len(story["events"]) - 1))
    earlier, later = data.draw(st.integers(0, 90)), data.draw(st.integers(0, 90))
    wider = widened(story, place, earlier, later)
    assume(order_is_certain(wider))
    at += timedelta(minutes=later)

    less, more = told(wider, rules, at), told(story, rules, at)

    assert more.usable or not less.usable
    assert less.ready_at is None or more.ready_at is None or less.ready_at >= more.ready_at


# --- one fact more ----------------------------------------------------------------------


@pytest.mark.parametrize("added", ADDED, ids=lambda added: added["what"])
@settings(max_examples=MANY)
@given(number=numbers, back=minutes)
def test_one_more_fact_never_extends_use_by(added, number, back):
    story, rules, at = plain_story(number)
    assume(added["what"] not in {"open", "draw"} or not _opening_stops_a_clock(rules))
    since = at if added["what"] == "discard" else at - timedelta(minutes=back)
    more = story | {"events": [*story["events"], added | {"at": since.isoformat()}]}

    assert is_no_later(told(more, rules, at).use_by, told(story, rules, at).use_by)


def _opening_stops_a_clock(rules: Protocol) -> bool:
    """Where room time ends at opening, opening may buy time: the page says so."""
    tables = [clock for clock in rules.clocks.values() if clock.starts_on == Starts.TO_TABLE]
    return any(clock.after_open == AfterOpening.STOPS for clock in tables)


# --- at the limit -----------------------------------------------------------------------


@settings(max_examples=MANY)
@given(numbers)
def test_a_usable_vial_is_usable_until_a_millisecond_before_use_by_and_not_at_it(number):
    story, rules, use_by = next(
        (story, rules, answer.use_by)
        for following in count(number)
        for story, rules, at in [plain_story(following)]
        for answer in [told(story, rules, at)]
        if answer.usable
    )

    assert told(story, rules, use_by - MS).usable
    assert not told(story, rules, use_by).usable


@settings(max_examples=MANY)
@given(numbers, minutes)
def test_waiting_without_touching_the_vial_changes_no_use_by(number, wait):
    story, rules, at = plain_story(number)

    later = told(story, rules, at + timedelta(minutes=wait))

    assert later.use_by == told(story, rules, at).use_by
