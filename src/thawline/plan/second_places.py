"""
Which day each second dose gets, and the proof of it: nobody early, no day overfull.

The days come from `placed_at_site`. Who is placed after their last day, and who has no place,
is named, the one who has waited longest first; nobody is dropped without a word.
"""

from collections import Counter
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import date

import numpy as np

from thawline.base.errors import RecordError
from thawline.plan.places import Waiting, placed_at_site


@dataclass(frozen=True, slots=True)
class Asked:
    """Somebody who waits for a place: not before `earliest`, and by `latest` if it can be."""

    person: str
    earliest: date
    latest: date


@dataclass(frozen=True, slots=True)
class Given:
    """
    A day for one person.

    Raises:
        RecordError: The day is before the first that is allowed; no such place can be made.
    """

    asked: Asked
    day: date

    def __post_init__(self) -> None:
        if self.day < self.asked.earliest:
            raise RecordError(
                f"{self.asked.person} on {self.day.isoformat()} is early: "
                f"due {self.asked.earliest.isoformat()}",
                advice="give a day from the due day on",
            )

    @property
    def waited(self) -> int:
        """The days from the first day allowed to the day given."""
        return (self.day - self.asked.earliest).days

    @property
    def late(self) -> int:
        """The days by which the promise is missed; 0 when it is kept."""
        return max(0, (self.day - self.asked.latest).days)


@dataclass(frozen=True, slots=True)
class DayLine:
    """One day: its free places and how many of them are given."""

    day: date
    free: int
    given: int


@dataclass(frozen=True, slots=True)
class Assignment:
    """
    Who comes when; `without` has no place in these days.

    `given` by code; `late` and `without` worst first.
    """

    given: tuple[Given, ...]
    without: tuple[Asked, ...]
    days: tuple[DayLine, ...]

    @property
    def late(self) -> tuple[Given, ...]:
        """Return who is placed after their last day, the latest first."""
        late = [each for each in self.given if each.late]
        return tuple(sorted(late, key=lambda each: (-each.late, each.asked.person)))

    @property
    def days_waited(self) -> int:
        """The cost of the plan: days waited from the first day allowed, all people together."""
        return sum(each.waited for each in self.given)

    @property
    def not_kept(self) -> tuple[tuple[date, int], ...]:
        """Return the last days promised that are not kept, and to how many, earliest first."""
        missed = Counter(each.asked.latest for each in self.late)
        missed.update(each.latest for each in self.without)
        return tuple(sorted(missed.items()))


def assigned(asked: Sequence[Asked], free: Mapping[date, int]) -> Assignment:
    """
    Return a day for everybody for whom there is one, by the earliest last day.

    Args:
        asked: Who waits.
        free: Free places by day; a day that is not named is closed.

    Raises:
        RecordError: No day is named, or one has fewer than no places.
    """
    if not free:
        raise RecordError("no day has places", advice="name days, as in 2026-03-07=300")
    people = sorted(asked, key=lambda each: (each.earliest, each.latest, each.person))
    first, last = min(free), max(free)
    capacity = np.zeros((last - first).days + 1, dtype=np.int64)
    for day, places in free.items():
        capacity[(day - first).days] = places
    found = placed_at_site(_waiting(people), first.toordinal(), capacity)
    pairs = list(zip(people, found.has_place.tolist(), found.day.tolist(), strict=True))
    given = [Given(who, date.fromordinal(day)) for who, has, day in pairs if has]
    without = [who for who, has, _ in pairs if not has]
    taken = Counter(each.day for each in given)
    return Assignment(
        tuple(sorted(given, key=lambda each: each.asked.person)),
        tuple(sorted(without, key=lambda each: (each.latest, each.person))),
        tuple(DayLine(day, free[day], taken[day]) for day in sorted(free)),
    )


def _waiting(people: Sequence[Asked]) -> Waiting:
    """Return the windows; who is past their last day already keeps the day they were due."""
    return Waiting(
        np.array([each.earliest.toordinal() for each in people], dtype=np.int64),
        np.array(
            [max(each.latest, each.earliest).toordinal() for each in people], dtype=np.int64
        ),
    )
