"""
The district: four sites, five days of first doses, one seed.

Everything random about a site's day is drawn with dice of its own, thrown from the seed, the
site, the date and what is asked. A day comes out the same whether or not another was played.
"""

from dataclasses import dataclass
from datetime import date, timedelta
from random import Random

from thawline.base.errors import NotFoundError

NAME = "Upper Velleny"
VACCINE = "Example-10 (made up), frozen multi-dose mRNA"
SEED = 28

ZONE = "Etc/GMT+6"  # six hours behind UTC all year; the sign is the zone database's own
REAL_ZONE = "America/Chicago"  # its clocks change on 8 March, between the two doses

FIRST_DAY = date(2026, 2, 2)
DAYS = tuple(FIRST_DAY + timedelta(days=n) for n in range(5))
TUESDAY = DAYS[1]
VIALS_SHIPPED = 1_000


@dataclass(frozen=True, slots=True)
class Place:
    """One site of the district and how many people it books a day."""

    name: str
    title: str
    booked_a_day: int


PLACES = (
    Place("harrowmint", "Harrowmint Hall", 720),
    Place("quillbeck", "Quillbeck Gym", 540),
    Place("tansy-ferry", "Tansy Ferry Fairground", 420),
    Place("oddmoor", "Oddmoor Library", 240),
)


def place_named(name: str) -> Place:
    """
    Return the site of that name.

    Raises:
        NotFoundError: The district has no such site.
    """
    for place in PLACES:
        if place.name == name:
            return place
    known = ", ".join(place.name for place in PLACES)
    raise NotFoundError(f"no site {name!r} in {NAME}", advice=f"one of {known}")


def booked_a_day() -> int:
    """Return the people booked on one day in the whole district."""
    return sum(place.booked_a_day for place in PLACES)


def booked_in_all() -> int:
    """Return the first doses booked in the district, all days and sites."""
    return booked_a_day() * len(DAYS)


def first_number(place: Place, day: date) -> int:
    """Return how many people of the district are booked before this site's day, in order."""
    earlier_days = DAYS.index(day) * booked_a_day()
    earlier_places = PLACES[: PLACES.index(place)]
    return earlier_days + sum(each.booked_a_day for each in earlier_places)


def dice(seed: int, *words: object) -> Random:
    """Return dice for one question: the same ones for the same seed and words."""
    return Random("|".join(map(str, (seed, *words))))  # noqa: S311  must come out the same
