"""Records that the tests of the cold store share: written as a person would write them."""

from datetime import UTC, datetime
from decimal import Decimal

from thawline.store.limits import between
from thawline.store.readings import Readings, readings

MINUTE = 60_000
DAY_MS = int(datetime(2026, 2, 5, tzinfo=UTC).timestamp()) * 1000
FRIDGE = between(Decimal(2), Decimal(8))
# The hand example of the project's cold-chain notes, 7.3.
BY_HAND = (
    "08:00 5.0, 08:15 5.2, 08:30 8.4, 08:45 10.0, 09:00 9.0, 09:15 7.0, 09:30 5.5, 09:45 5.5, "
    "10:45 5.0, 11:00 1.0, 11:15 3.0"
)


def at(clock: str) -> int:
    """Return the instant of a time of day on the day of all records."""
    hours, minutes = clock.split(":")
    return DAY_MS + (int(hours) * 60 + int(minutes)) * MINUTE


def record(text: str) -> Readings:
    """Return the readings in a text such as "08:00 5.0, 08:15 5.2"."""
    pairs = [part.split() for part in text.split(",")]
    return readings([at(clock) for clock, _ in pairs], [mc(temp) for _, temp in pairs])


def every(minutes: int, temps: str, start: str = "00:00") -> Readings:
    """Return readings so many minutes apart: "5.0 5.2 8.4"."""
    each = temps.split()
    times = [at(start) + place * minutes * MINUTE for place in range(len(each))]
    return readings(times, [mc(temp) for temp in each])


def mc(temp: str) -> int:
    """Return a written temperature in thousandths of a degree."""
    return int(Decimal(temp) * 1000)
