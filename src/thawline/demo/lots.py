"""
The district's lots, all invented: `ZZ-` is kept for the demo.

ZZ-1041 and ZZ-1014 are easily taken for each other, ZZ-1107 expires first, and of every eight
vials of ZZ-1120 one holds nine doses.
"""

from dataclasses import dataclass
from datetime import date

from thawline.demo.district import PLACES, VIALS_SHIPPED, Place, dice

ALIKE = ("ZZ-1041", "ZZ-1014")
EXPIRES_FIRST = "ZZ-1107"
SHORT_FILLED = "ZZ-1120"
SHORT_ONE_OF = 8
SHORT_DOSES = 9

_EXPIRY = {"ZZ-1041": "2026-08", "ZZ-1014": "2026-07", "ZZ-1107": "2026-02-28"}
_LATER = "2026-06"
_SHARES = {"ZZ-1041": 50, "ZZ-1014": 25, EXPIRES_FIRST: 15, SHORT_FILLED: 10}
_BESIDE_THE_DAY = {"harrowmint": 9, "quillbeck": 6, "tansy-ferry": 4, "oddmoor": 3}


@dataclass(frozen=True, slots=True)
class Cartons:
    """Sealed frozen cartons of one lot, counted in vials."""

    lot: str
    expiry: str
    vials: int


def shipped(place: Place) -> int:
    """Return the vials a site is sent for the five days, by its share of the bookings."""
    return _shared(VIALS_SHIPPED, {each.name: each.booked_a_day for each in PLACES})[place.name]


def in_freezer(place: Place) -> tuple[Cartons, ...]:
    """Return what stands in a site's freezer for one day: a fifth of its share, and some."""
    vials = shipped(place) // 5 + _BESIDE_THE_DAY[place.name]
    parts = _shared(vials, _SHARES)
    return tuple(Cartons(lot, _EXPIRY.get(lot, _LATER), count) for lot, count in parts.items())


def doses_in(lot: str, number: int, place: Place, day: date, seed: int) -> int | None:
    """Return how many doses the n-th vial of a lot gives when it is short; else None."""
    if lot != SHORT_FILLED:
        return None
    eight, within = divmod(number, SHORT_ONE_OF)
    short = dice(seed, place.name, day, "short", eight).randrange(SHORT_ONE_OF)
    return SHORT_DOSES if within == short else None


def _shared(whole: int, weights: dict[str, int]) -> dict[str, int]:
    """Return whole numbers in those proportions that add up; the largest remainders gain."""
    total = sum(weights.values())
    parts = {name: whole * weight // total for name, weight in weights.items()}
    by_rest = sorted(weights, key=lambda name: -(whole * weights[name] % total))
    for name in by_rest[: whole - sum(parts.values())]:
        parts[name] += 1
    return parts
