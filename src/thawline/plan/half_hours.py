"""The day in half-hours of the wall clock, and the people booked in each."""

from collections import defaultdict
from collections.abc import Iterable
from dataclasses import dataclass
from datetime import timedelta
from zoneinfo import ZoneInfo

from thawline.base.instants import Instant, local_time

HALF_HOUR = timedelta(minutes=30)
_MINUTES = 30


@dataclass(frozen=True, slots=True)
class Place:
    """One booking: its instant and the chance (0 to 1) that the person comes."""

    at: Instant
    comes: float


@dataclass(frozen=True, slots=True)
class HalfHour:
    """Everybody booked in one half-hour, by their chances of coming."""

    starts: Instant
    chances: tuple[float, ...]


def half_hour_of(at: Instant, zone: ZoneInfo) -> Instant:
    """Return the start of the local half-hour that the instant lies in."""
    wall = local_time(at, zone)
    into = timedelta(
        minutes=wall.minute % _MINUTES, seconds=wall.second, microseconds=wall.microsecond
    )
    return Instant(at - into)


def half_hours(places: Iterable[Place], zone: ZoneInfo) -> tuple[HalfHour, ...]:
    """Return the half-hours in which anybody is booked, in order; the others are left out."""
    chances: dict[Instant, list[float]] = defaultdict(list)
    for place in places:
        chances[half_hour_of(place.at, zone)].append(place.comes)
    return tuple(HalfHour(starts, tuple(chances[starts])) for starts in sorted(chances))
