"""
The people of a site's day: booked ones and walk-ups, all invented.

Each day has two pairs of one name, and one person who is booked twice, the second time with
day and month of the birth date swapped. They are there to be told apart.
"""

from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass, replace
from datetime import date, timedelta
from random import Random
from unicodedata import combining, normalize

from thawline.demo.district import DAYS, PLACES, Place, booked_in_all, dice, first_number
from thawline.demo.names import Called, name_of

CODE = "DEMO-"
SPANISH = 0.12
SAME_NAME_PAIRS = 2
WALK_UPS = 0.04
"""Walk-ups for each person booked."""

_OLD, _CARE, _OPEN = "65 and over", "care work", "open"
_GROUPS = {_OLD: 0.38, _CARE: 0.22, _OPEN: 0.40}
_AGES = {_OLD: (65, 95), _CARE: (19, 66), _OPEN: (18, 64)}
_NEEDS = ("wheelchair", "hearing", "sight", "lying down")
_NEEDING = 0.03
_PHONES = (100, 199)  # 555-0100 to 555-0199: kept for stories
_DAY_OF_BIRTHS = date(2026, 2, 1)


@dataclass(frozen=True, slots=True)
class Person:
    """One invented person; `double_of` is the code they are booked under already."""

    code: str
    called: Called
    born: date
    phone: str
    mail: str
    language: str
    group: str
    needs: str
    double_of: str | None = None


def people_booked(place: Place, day: date, seed: int) -> tuple[Person, ...]:
    """Return everybody booked at the site that day, in the order of their numbers."""
    first = first_number(place, day) + 1
    throws = dice(seed, place.name, day, "people")
    people = [_person(first + n, seed, throws) for n in range(place.booked_a_day)]
    chosen = throws.sample(range(len(people)), 2 * SAME_NAME_PAIRS)
    for one, other in zip(chosen[::2], chosen[1::2], strict=True):
        people[other] = replace(people[other], called=people[one].called)
    _plant_double(people, set(chosen), throws)
    return tuple(people)


def of_one_name(people: Sequence[Person]) -> tuple[Person, ...]:
    """Return those who share their name with somebody else on the list, in its order."""
    names = Counter(each.called for each in people)
    return tuple(each for each in people if names[each.called] > 1)


def walk_ups(place: Place, day: date, seed: int) -> tuple[Person, ...]:
    """Return the people who come to the site that day without a booking."""
    throws = dice(seed, place.name, day, "walk-ups")
    earlier = DAYS.index(day) * sum(map(_walk_ups_a_day, PLACES))
    earlier += sum(map(_walk_ups_a_day, PLACES[: PLACES.index(place)]))
    first = booked_in_all() + 1 + earlier
    return tuple(_person(first + n, seed, throws) for n in range(_walk_ups_a_day(place)))


def standby_names(place: Place, day: date, seed: int, count: int) -> tuple[Person, ...]:
    """Return people who would come at short notice; numbered beyond every walk-up."""
    throws = dice(seed, place.name, day, "standby")
    walk_ups_in_all = len(DAYS) * sum(map(_walk_ups_a_day, PLACES))
    first = booked_in_all() + 1 + walk_ups_in_all
    return tuple(_person(first + n, seed, throws) for n in range(count))


def _walk_ups_a_day(place: Place) -> int:
    return round(place.booked_a_day * WALK_UPS)


def _person(number: int, seed: int, throws: Random) -> Person:
    called = name_of(number, seed)
    group = throws.choices(list(_GROUPS), list(_GROUPS.values()))[0]
    return Person(
        code=f"{CODE}{number:06d}",
        called=called,
        born=_born(group, throws),
        phone=f"555-0{throws.randint(*_PHONES)}",
        mail=f"{_plain(called.given)}.{_plain(called.family)}@example.org",
        language="es" if throws.random() < SPANISH else "en",
        group=group,
        needs=throws.choice(_NEEDS) if throws.random() < _NEEDING else "",
    )


def _born(group: str, throws: Random) -> date:
    youngest, oldest = _AGES[group]
    days = throws.randint(int(youngest * 365.25) + 1, int(oldest * 365.25))
    return _DAY_OF_BIRTHS - timedelta(days=days)


def _plain(text: str) -> str:
    return "".join(c for c in normalize("NFKD", text) if not combining(c)).lower()


def _plant_double(people: list[Person], taken: set[int], throws: Random) -> None:
    """Book somebody a second time, under another code and with day and month swapped."""
    free = [n for n, each in enumerate(people) if n not in taken and _can_swap(each.born)]
    one, other = sorted(throws.sample(free, 2))
    first = people[one]
    born = first.born.replace(month=first.born.day, day=first.born.month)
    people[other] = replace(
        first, code=people[other].code, born=born, double_of=first.code, needs=""
    )


def _can_swap(born: date) -> bool:
    months = 12
    return born.day <= months and born.day != born.month
