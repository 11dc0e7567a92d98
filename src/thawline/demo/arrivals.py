"""
Who comes to a site on a day, and when: late or early, with or without a booking.

Booked people stay away by group. Fewer places are booked over lunch, an hour later than the
staff go for theirs. Times are seconds after local midnight; every share here is invented.
"""

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import date
from random import Random

from thawline.demo.district import TUESDAY, Place, dice
from thawline.demo.people import Person, people_booked, walk_ups

MINUTE_S = 60
HOUR_S = 60 * MINUTE_S
DOORS_OPEN_S = 7 * HOUR_S
LAST_SLOT_S = 18 * HOUR_S
SLOT_S = 10 * MINUTE_S

_FEWER = (12 * HOUR_S, 14 * HOUR_S)
_STAYS_AWAY = {"65 and over": 0.05, "care work": 0.06, "open": 0.08}
WALK_UPS_BETWEEN_S = (8 * HOUR_S, 17 * HOUR_S + 30 * MINUTE_S)
_WALK_UPS_UNTIL_S = {"oddmoor": 16 * HOUR_S}  # the library shuts its street door then
_PLANTED = {
    ("oddmoor", TUESDAY): {
        **dict.fromkeys(range(16 * HOUR_S + 20 * MINUTE_S, 17 * HOUR_S, SLOT_S), 0),
        17 * HOUR_S: 2,
        17 * HOUR_S + 10 * MINUTE_S: 1,
        17 * HOUR_S + 20 * MINUTE_S: 2,
        17 * HOUR_S + 30 * MINUTE_S: 1,
        17 * HOUR_S + 40 * MINUTE_S: 1,
        17 * HOUR_S + 50 * MINUTE_S: 1,
    }
}
"""The people booked for some times of a day, as an incident of that day wants it."""
_EARLY_S, _SPREAD_S = -4 * MINUTE_S, 6 * MINUTE_S
_EARLIEST_S, _LATEST_S = -15 * MINUTE_S, 25 * MINUTE_S
_DESK_AND_QUESTIONS_S = (150, 180)  # desk 60 s, screening 90 to 120 s (common practice)
_WALK_UP_DESK_S = (240, 300)  # walk-up desk 150 to 180 s instead (common practice)
_REFERRED, _WATCHED_LONGER = 0.01, 0.04


@dataclass(frozen=True, slots=True)
class Slot:
    """A time that people are booked for, and who."""

    at_s: int
    people: tuple[Person, ...]


@dataclass(frozen=True, slots=True)
class Visit:
    """Somebody who comes: when they are through with the questions, and what came of them."""

    person: Person
    booked_s: int | None  # None: without a booking
    came_s: int
    ready_s: int
    outcome: str  # of the screening


def slots(place: Place, day: date, seed: int) -> tuple[Slot, ...]:
    """Return the day's places with the people booked for each, in order."""
    people = iter(people_booked(place, day, seed))
    times = range(DOORS_OPEN_S, LAST_SLOT_S, SLOT_S)
    planted = _PLANTED.get((place.name, day), {})
    weights = [0 if at_s in planted else _weight(at_s) for at_s in times]
    spread = _spread(place.booked_a_day - sum(planted.values()), weights)
    counts = [planted.get(at_s, count) for at_s, count in zip(times, spread, strict=True)]
    return tuple(
        Slot(at_s, tuple(next(people) for _ in range(count)))
        for at_s, count in zip(times, counts, strict=True)
    )


def visits(place: Place, day: date, seed: int) -> tuple[Visit, ...]:
    """Return everybody who comes that day, in the order they are ready for a chair."""
    throws = dice(seed, place.name, day, "arrivals")
    booked = [
        _visit(person, slot.at_s, throws)
        for slot in slots(place, day, seed)
        for person in slot.people
        if _comes(person, throws)
    ]
    until_s = _WALK_UPS_UNTIL_S.get(place.name, WALK_UPS_BETWEEN_S[1])
    without = [_visit(person, None, throws, until_s) for person in walk_ups(place, day, seed)]
    return tuple(sorted([*booked, *without], key=lambda each: (each.ready_s, each.person.code)))


def share_that_stays_away(group: str) -> float:
    """Return the invented share of a group's bookings that do not come."""
    return _STAYS_AWAY[group]


def _weight(at_s: int) -> int:
    return 1 if _FEWER[0] <= at_s < _FEWER[1] else 2


def _spread(whole: int, weights: list[int]) -> Iterator[int]:
    """Yield whole numbers near those proportions that add up to the whole."""
    total, so_far, before = sum(weights), 0, 0
    for weight in weights:
        so_far += weight
        yield whole * so_far // total - before
        before = whole * so_far // total


def _comes(person: Person, throws: Random) -> bool:
    stays_away = throws.random() < _STAYS_AWAY[person.group]
    return not stays_away and person.double_of is None


def _visit(
    person: Person,
    booked_s: int | None,
    throws: Random,
    walk_ups_until_s: int = WALK_UPS_BETWEEN_S[1],
) -> Visit:
    if booked_s is None:
        came_s = throws.randint(WALK_UPS_BETWEEN_S[0], walk_ups_until_s)
        desk_s = throws.randint(*_WALK_UP_DESK_S)
    else:
        late_s = round(throws.gauss(_EARLY_S, _SPREAD_S))
        came_s = booked_s + min(max(late_s, _EARLIEST_S), _LATEST_S)
        desk_s = throws.randint(*_DESK_AND_QUESTIONS_S)
    start_s = max(came_s, DOORS_OPEN_S)
    return Visit(person, booked_s, came_s, start_s + desk_s, _outcome(throws))


def _outcome(throws: Random) -> str:
    thrown = throws.random()
    if thrown < _REFERRED:
        return "refer"
    return "give-30" if thrown < _REFERRED + _WATCHED_LONGER else "give-15"
