"""
Rosters: whole shifts of people at the stations, and rosters that differ a little from one.

Somebody is left out, goes to another station, or has their shift or break half an hour earlier
or later. See docs/background/ranking.md.
"""

from collections.abc import Iterator, Sequence
from itertools import chain, combinations

from thawline.plan.same_days import Staffing
from thawline.plan.shifts import Shift, ShiftRule

Turn = tuple[int, int, int | None]
"""One person's shift: first half hour, the one after the last, and the break; None: none."""

Roster = tuple[tuple[Turn, ...], ...]
"""For each station the shifts worked there, one a person, in order."""


def roster_of(plans: Sequence[Sequence[Shift]]) -> Roster:
    """Return shifts as a roster, each person by themselves."""
    return tuple(
        _ordered((s.starts, s.ends, s.pause) for s in plan for _ in range(s.people))
        for plan in plans
    )


def shifts_of(turns: Sequence[Turn]) -> tuple[Shift, ...]:
    """Return the shifts worked at a station, those alike together."""
    alike: dict[Turn, int] = {}
    for turn in turns:
        alike[turn] = alike.get(turn, 0) + 1
    return tuple(Shift(people, *turn) for turn, people in alike.items())


def people_in(roster: Roster) -> int:
    """Return how many people a roster has."""
    return sum(map(len, roster))


def serving(roster: Roster, halves: int) -> Staffing:
    """Return who serves in each half hour."""
    return tuple(
        tuple(sum(_is_there(turn, half) for turn in turns) for half in range(halves))
        for turns in roster
    )


def rosters(start: Roster, rule: ShiftRule, halves: int) -> Iterator[Roster]:
    """
    Yield the roster, then all that differ in one change, then in two; fewer people first.

    Only rosters with somebody at every station in every half hour, each of them once.
    """
    changes = _changes(start, rule, halves)
    seen: set[Roster] = set()
    either = chain([()], ((one,) for one in changes), combinations(changes, 2))
    for some in either:
        if len({station_turn for station_turn, _ in some}) < len(some):
            continue
        found = _changed(start, some)
        if found not in seen and all(min(each) > 0 for each in serving(found, halves)):
            seen.add(found)
            yield found


_Place = tuple[int, int]  # a station, and a person there
_Change = tuple[_Place, tuple[int, Turn] | None]  # to where, with which shift; None: left out


def _changes(start: Roster, rule: ShiftRule, halves: int) -> list[_Change]:
    """Return what may be changed about each person, leaving out first."""
    places = [
        (station, number)
        for station, turns in enumerate(start)
        for number, turn in enumerate(turns)
    ]
    gone: list[_Change] = [(place, None) for place in places]
    sent: list[_Change] = [
        ((station, number), (other, start[station][number]))
        for station, number in places
        for other in range(len(start))
        if other != station
    ]
    moved: list[_Change] = [
        ((station, number), (station, turn))
        for station, number in places
        for turn in _moved(start[station][number], rule, halves)
    ]
    return [*gone, *sent, *moved]


def _moved(turn: Turn, rule: ShiftRule, halves: int) -> Iterator[Turn]:
    """Yield the shift, and its break, half an hour earlier and later."""
    start, end, pause = turn
    for by in (-1, 1):
        if start + by >= 0 and end + by <= halves:
            yield start + by, end + by, None if pause is None else pause + by
    for by in (-1, 1):
        if pause is not None and rule.pause_from <= pause + by - start <= rule.pause_until:
            yield start, end, pause + by


def _changed(start: Roster, changes: Sequence[_Change]) -> Roster:
    away = {place for place, _ in changes}
    stay = [
        [turn for number, turn in enumerate(turns) if (station, number) not in away]
        for station, turns in enumerate(start)
    ]
    for _, to in changes:
        if to is not None:
            stay[to[0]].append(to[1])
    return tuple(map(_ordered, stay))


def _ordered(turns: Iterator[Turn] | list[Turn]) -> tuple[Turn, ...]:
    return tuple(sorted(turns, key=lambda turn: (turn[0], turn[1], turn[2] or 0)))


def _is_there(turn: Turn, half: int) -> bool:
    start, end, pause = turn
    return start <= half < end and half != pause
