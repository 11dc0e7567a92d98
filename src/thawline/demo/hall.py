"""
Harrowmint Hall: its chairs and draw tables, and who sits down where and when.

People are served in the order in which they are ready, each at the chair that is free first.
Half of the chairs close over lunch. An incident may ask for a chair at a time: it is kept
free, and the next person who is ready sits down there.
"""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field
from enum import StrEnum

from thawline.demo.arrivals import HOUR_S, MINUTE_S, Visit

TABLE_OF_CHAIR = {1: 1, 4: 1, 2: 2, 5: 2, 3: 3, 6: 3, 7: 3}
LUNCH_S = (11 * HOUR_S + 30 * MINUTE_S, 13 * HOUR_S + 30 * MINUTE_S)
AT_LUNCH = (1, 4, 6)
SAME_CHAIR_S = (210, 300)
"""How long a person keeps a chair, from sitting down to the chair being free again."""

_KEPT_FREE_S = 6 * MINUTE_S
_ASKS_FROM_S = 4 * MINUTE_S
_NEVER_S = 48 * HOUR_S


class Happens(StrEnum):
    """What is special about one visit to a chair."""

    NOTHING = "nothing"
    LOOK_ALIKE = "a syringe of the look-alike lot is scanned"
    HELD_VIAL = "the vial of the syringe is held between scan and needle"
    NOT_RECORDED = "the dose is given and nobody records it"
    CHANGES_MIND = "the person changes their mind; it is recorded"
    LEAVES_UNSEEN = "the person changes their mind; nobody records it"
    DROPPED = "the syringe is dropped"


@dataclass(frozen=True, slots=True)
class Wanted:
    """A chair that an incident wants at a time, how much longer it takes, and if it closes."""

    chair: int
    at_s: int
    happens: Happens
    longer_s: int = 0
    closes: bool = False


@dataclass(frozen=True, slots=True)
class Seat:
    """A person at a chair, from when on, and what happens there."""

    visit: Visit
    chair: int
    at_s: int
    happens: Happens = Happens.NOTHING

    @property
    def station(self) -> str:
        """Return the chair's name."""
        return f"chair {self.chair}"


@dataclass(slots=True)
class _Chair:
    number: int
    free_s: int
    shut: list[tuple[int, int]] = field(default_factory=list)

    def free_from(self, ready_s: int) -> int:
        """Return when somebody ready at that time can sit down here."""
        at_s = max(self.free_s, ready_s)
        for from_s, to_s in sorted(self.shut):
            if from_s <= at_s < to_s:
                at_s = to_s
        return at_s


def seats(
    visits: Sequence[Visit], lengths_s: Iterable[int], wanted: Sequence[Wanted], opens_7_s: int
) -> tuple[Seat, ...]:
    """
    Return who sits where, in the order in which they sit down.

    Args:
        visits: In the order they are ready.
        lengths_s: How long each person keeps a chair.
        wanted: What the incidents ask for, by time.
        opens_7_s: When chair 7 takes over from one that closes.
    """
    chairs = {number: _Chair(number, 0) for number in TABLE_OF_CHAIR}
    for number in AT_LUNCH:
        chairs[number].shut.append(LUNCH_S)
    chairs[7].shut.append((0, opens_7_s))
    for each in wanted:
        chairs[each.chair].shut.append((each.at_s - _KEPT_FREE_S, each.at_s))
    waiting = list(wanted)
    taken = []
    for visit, length_s in zip(visits, lengths_s, strict=False):
        seat, longer_s = _seat(visit, chairs, waiting)
        chairs[seat.chair].free_s = seat.at_s + length_s + longer_s
        taken.append(seat)
    return tuple(sorted(taken, key=lambda seat: (seat.at_s, seat.chair)))


def _seat(visit: Visit, chairs: dict[int, _Chair], waiting: list[Wanted]) -> tuple[Seat, int]:
    at_s, number = min((c.free_from(visit.ready_s), c.number) for c in chairs.values())
    if not waiting or at_s < waiting[0].at_s - _ASKS_FROM_S:
        return Seat(visit, number, at_s), 0
    asked = waiting.pop(0)
    chair = chairs[asked.chair]
    at_s = chair.free_from(max(visit.ready_s, asked.at_s))
    if asked.closes:
        chair.shut.append((at_s + 1, _NEVER_S))
    return Seat(visit, asked.chair, at_s, asked.happens), asked.longer_s
