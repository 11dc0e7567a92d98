"""
Random handling histories of one vial, the same for the same seed and number.

Some are ordinary clinic days. Others are what records look like when things go wrong:
intervals that overlap, facts written down late, nights when the clocks change, vials that
come and go, events exactly at a limit or a millisecond beside it, rules that change midway.
"""

from collections.abc import Sequence
from datetime import datetime, timedelta, timezone
from typing import Any, NamedTuple
from zoneinfo import ZoneInfo

from tests.reference.dice import Dice
from tests.reference.made_up_rules import MODES, changed, effective, random_rules
from tests.reference.wall_clock import DAY, HOUR, MINUTE, SECOND, length, micros, moment

from thawline.base.durations import Allowance
from thawline.rules.protocol import Protocol

MS = 1_000

# Zone and a local date on or beside which its clocks change, a month ends or a day is skipped.
NIGHTS = [
    ("America/Chicago", "2026-03-08"),
    ("America/Chicago", "2026-11-01"),
    ("America/New_York", "2021-03-14"),
    ("America/New_York", "2021-11-07"),
    ("Australia/Lord_Howe", "2026-04-05"),  # half an hour
    ("Australia/Lord_Howe", "2026-10-04"),
    ("America/Havana", "2026-03-08"),  # midnight is skipped
    ("America/Havana", "2026-11-01"),
    ("Asia/Beirut", "2026-03-29"),
    ("Asia/Beirut", "2026-10-25"),
    ("Africa/Cairo", "2026-04-24"),
    ("America/Santiago", "2026-09-06"),
    ("America/Santiago", "2026-04-05"),
    ("America/St_Johns", "2010-03-14"),  # one minute past midnight
    ("America/St_Johns", "2010-11-07"),  # a date shown twice
    ("Africa/Casablanca", "2026-02-15"),  # back and forth within 36 days
    ("Africa/Casablanca", "2026-03-22"),
    ("Antarctica/Troll", "2026-03-29"),  # two hours
    ("Antarctica/Troll", "2026-10-25"),
    ("Pacific/Apia", "2011-12-30"),  # a day that never was
    ("Pacific/Chatham", "2026-04-05"),
    ("Europe/London", "2026-03-29"),
    ("Europe/London", "2026-10-25"),
    ("Asia/Kathmandu", "2026-02-28"),
    ("UTC", "2024-02-29"),
    ("America/Chicago", "2024-02-29"),
    ("America/Chicago", "2026-02-28"),
    ("Pacific/Kiritimati", "2027-12-31"),
]
_KINDS = [
    *(
        "to-fridge",
        "to-fridge",
        "to-fridge",
        "to-table",
        "to-table",
        "to-table",
        "open",
        "open",
    ),
    *("draw", "draw", "hold", "release", "release", "transport-start", "transport-end"),
    *("flag", "flag", "warmed", "to-freezer", "arrive", "discard", "room-read"),
]
_DAY_AT_CLINIC = ["to-fridge", "to-table", "open", "draw", "draw"]
_SMALL = [0, MS, SECOND, MINUTE, 15 * MINUTE, HOUR, 2 * HOUR + 30 * MINUTE, 6 * HOUR]
_BESIDE = [0, 0, 0, -MS, MS, -SECOND, SECOND]
_WIDE = [0, 0, MS, SECOND, MINUTE, 20 * MINUTE, HOUR, 8 * HOUR]
_ROOM_C = [20, 22.5, 25, 25.1, 26, 30, 30.1, 8, 2, 1.9, 0.1, 0, -0.1]
_OFFSETS = [timezone(timedelta(hours=h)) for h in (-6, 0, 5.75, 14)]


class History(NamedTuple):
    """A story, the instant asked about, and the protocol versions it lived under."""

    story: dict[str, Any]
    versions: tuple[Protocol, ...]
    at: datetime


class _Fact(NamedTuple):
    lo: int
    hi: int
    what: str
    more: dict[str, Any]


def history(seed: int, number: int) -> History:
    """Return the history of that number; the same for ever."""
    dice = Dice(seed * 1_000_003 + number)
    rules = random_rules(dice)
    figures = _figures(rules)
    zone, begins, night = _begins(dice, rules)
    facts = _facts(dice, figures, begins)
    edges = [edge for fact in facts for edge in (fact.lo, fact.hi)]
    at = _near(dice, edges, figures) if dice.happens(40) else max(edges) + dice.pick(_SMALL)
    versions = _versions(dice, rules, [*edges, at], figures)
    story = {
        "lot": "ZZ-1041",
        "expiry": _expiry(dice, night),
        "zone": zone.key,
        "events": [_written(dice, fact) for fact in _shuffled(dice, facts)],
    }
    return History(story, versions, moment(max(at, begins)))


# --- when -------------------------------------------------------------------------------


def _figures(rules: Protocol) -> list[int]:
    """Every length of time that the protocol names: the limits that events are set beside."""
    thaw, transport = rules.thaw, rules.transport
    allowances = [clock.allows for clock in rules.clocks.values()]
    allowances += [cap.allows for cap in rules.caps.values()]
    allowances += [thaw.refrigerator.takes, thaw.refrigerator.then_room, thaw.room.takes]
    allowances += [mode.allows for mode in transport.by.values() if mode.allows is not None]
    allowances += [] if transport.total is None else [transport.total.allows]
    return [_elapsed(allowance) for allowance in allowances]


def _elapsed(allowance: Allowance) -> int:
    return allowance.days * DAY + length(allowance.elapsed)


def _begins(dice: Dice, rules: Protocol) -> tuple[ZoneInfo, int, datetime]:
    """Some hours around the night, or so many days before it that a limit falls on it."""
    name, day = dice.pick(NIGHTS)
    zone = ZoneInfo(name)
    night = datetime.fromisoformat(day).replace(tzinfo=zone)
    days = [0, 0, 1, *(c.allows.days for c in rules.clocks.values())]
    begins = micros(night) - dice.pick(days) * DAY
    begins += (dice.below(24) - 12) * HOUR + dice.below(60) * MINUTE
    begins += dice.below(1000) * MS if dice.happens(10) else 0
    return zone, begins, night


def _near(dice: Dice, edges: Sequence[int], figures: Sequence[int]) -> int:
    """A limit counted from some fact, exactly or a moment beside it; else a bit later."""
    if dice.happens(30):
        return dice.pick(edges) + dice.pick(figures) + dice.pick(_BESIDE)
    return edges[-1] + dice.pick(_SMALL) + dice.below(180) * MINUTE * dice.below(2)


def _expiry(dice: Dice, night: datetime) -> str:
    day = night.date() + timedelta(days=dice.pick([-1, 0, 0, 1, 30, 400, 400]))
    return f"{day:%Y-%m}" if dice.happens(40) else day.isoformat()


# --- what -------------------------------------------------------------------------------


def _facts(dice: Dice, figures: Sequence[int], begins: int) -> list[_Fact]:
    facts: list[_Fact] = []
    edges = [begins]
    sequence = _sequence(dice)
    for row, what in enumerate(sequence):
        if what == "arrive" and what in sequence[:row]:
            continue  # a vial arrives once
        lo = _near(dice, edges, figures) if facts else begins
        if dice.happens(92):
            lo = max(lo, edges[-1])
        hi = lo
        if dice.happens(25):
            lo, hi = lo - dice.pick(_WIDE), hi + dice.pick(_WIDE)
        facts.append(_Fact(lo, hi, what, _more(dice, what, lo)))
        edges += [lo, hi]
    return facts


def _sequence(dice: Dice) -> list[str]:
    if dice.happens(35):
        return [dice.pick(_KINDS) for _ in range(1 + dice.below(9))]
    path = ["arrive"] if dice.happens(25) else []
    path += ["warmed"] if dice.happens(8) else []
    path += _DAY_AT_CLINIC[: 1 + dice.below(5)]
    for _ in range(dice.below(4)):
        path.insert(dice.below(len(path) + 1), dice.pick(_KINDS))
    if dice.happens(25):
        place = dice.below(len(path) + 1)
        path[place:place] = ["transport-start", "transport-end"][: 1 + dice.below(4)]
    return path


def _more(dice: Dice, what: str, lo: int) -> dict[str, Any]:
    """What else a fact says, where its kind says anything."""
    said: dict[str, Any] = {}
    if what == "arrive":
        said = _arrival(dice, lo)
    elif what == "draw":
        said = {"doses": dice.pick([1, 1, 2, 3, 9, 10, 11, 12])}
    elif what == "room-read" or (what == "to-table" and dice.happens(20)):
        said = {"room_c": dice.pick(_ROOM_C)}
    elif dice.happens({"transport-end": 80, "transport-start": 20}.get(what, 0)):
        said = {"by": dice.pick(MODES)}
    return said


def _arrival(dice: Dice, lo: int) -> dict[str, Any]:
    if dice.happens(35):
        return {"as": "frozen"}
    thawed = lo - dice.pick([0, HOUR, DAY, 20 * DAY]) - dice.below(600) * MINUTE
    brought = {
        "thawed_at": moment(thawed).isoformat(),
        "room_used_min": dice.pick([0, 0, 10, 90, 360, 719, 720, 1440]),
        "transport_used_min": dice.pick([0, 0, 30, 60, 180, 720, 721]),
        "trips_used": dice.pick([0, 0, 1, 2]),
    }
    if dice.happens(15):
        del brought[dice.pick(list(brought))]
    return {"as": "chilled"} | brought


def _shuffled(dice: Dice, facts: Sequence[_Fact]) -> list[_Fact]:
    """Facts as they were written down: mostly as they happened, sometimes one too late."""
    written = list(facts)
    if len(written) > 1 and dice.happens(15):
        written.insert(dice.below(len(written)), written.pop(dice.below(len(written))))
    return written


def _written(dice: Dice, fact: _Fact) -> dict[str, Any]:
    lo, hi = _iso(dice, fact.lo), _iso(dice, fact.hi)
    exact = fact.lo == fact.hi and not dice.happens(3)
    return {"at": lo if exact else {"from": lo, "to": hi}, "what": fact.what, **fact.more}


def _iso(dice: Dice, instant: int) -> str:
    return moment(instant).astimezone(dice.pick(_OFFSETS)).isoformat()


# --- under which rules ------------------------------------------------------------------


def _versions(
    dice: Dice, rules: Protocol, edges: Sequence[int], figures: Sequence[int]
) -> tuple[Protocol, ...]:
    """One version, or several that follow each other at or beside what happens to the vial."""
    if dice.happens(55):
        return (rules,)
    count = 2 + dice.below(3)
    since = sorted({_near(dice, edges, figures) for _ in range(count)})
    versions = [rules]
    while len(versions) < len(since):
        versions.append(changed(dice, versions[-1]))
    return tuple(
        effective(version, number, moment(begins))
        for number, (version, begins) in enumerate(zip(versions, since, strict=True), 1)
    )
