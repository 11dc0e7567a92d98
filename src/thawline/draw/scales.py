"""
Two scales of a picture: time from left to right, degrees from bottom to top, with their marks.

Marks of time stand on the wall clock of the place, so an hour that the clocks skip has none and
one that comes twice has two.
"""

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import timedelta
from itertools import count
from zoneinfo import ZoneInfo

from thawline.base.instants import (
    Instant,
    from_ms,
    local_date,
    local_time,
    midnight_after,
    midnight_before,
    to_ms,
)

_MINUTE_MS = 60_000
_DAY_MINUTES = 1440
_TO_THE_MARK = (5, 10, 15, 30, 60, 120, 180, 360, 720)  # minutes that divide a day
_DAYS_TO_THE_MARK = (1, 2, 7, 14)
_MONTHS_TO_THE_MARK = (1, 2, 3, 6, 12)
_NICE_DEGREES = (1, 2, 5, 10, 20, 50)
_MONTH = timedelta(days=30)
_HOUR_MINUTES = 60


@dataclass(frozen=True, slots=True)
class Scale:
    """A straight scale: what lies at its two ends, and where these are on the page."""

    first: float
    last: float
    from_px: float
    to_px: float

    def at(self, value: float) -> float:
        """Return where a value lies on the page; at the edge for one outside."""
        share = (value - self.first) / (self.last - self.first)
        return self.from_px + min(max(share, 0), 1) * (self.to_px - self.from_px)


@dataclass(frozen=True, slots=True)
class Mark:
    """A mark on an axis: what it stands for, and what is written at it."""

    at: float
    says: str


def degree_marks(low: float, high: float, most: int) -> tuple[Mark, ...]:
    """Return marks at whole degrees from `low` to `high`, at most so many."""
    step = next(s for s in _NICE_DEGREES if (high - low) / s < most)
    first = -int(-low // step)
    return tuple(Mark(n * step, "") for n in range(first, int(high // step) + 1))


def time_marks(since: Instant, until: Instant, zone: ZoneInfo, most: int) -> tuple[Mark, ...]:
    """Return marks in milliseconds at round local times, at most so many of them."""
    minutes = (until - since) / timedelta(minutes=1)
    for step in _TO_THE_MARK:
        if minutes / step < most:
            return tuple(_within_days(since, until, zone, step))
    for days in _DAYS_TO_THE_MARK:
        if minutes / (days * _DAY_MINUTES) < most:
            return tuple(_of_days(since, until, zone, days))
    return tuple(_of_months(since, until, zone, most))


def _within_days(since: Instant, until: Instant, zone: ZoneInfo, step: int) -> Iterator[Mark]:
    least = _TO_THE_MARK[0]
    begins = -(-to_ms(since) // (least * _MINUTE_MS)) * least * _MINUTE_MS
    for at_ms in range(begins, to_ms(until) + 1, least * _MINUTE_MS):
        wall = local_time(from_ms(at_ms), zone)
        if (wall.hour * _HOUR_MINUTES + wall.minute) % step == 0 and not wall.second:
            midnight = not wall.hour and not wall.minute
            says = _day(from_ms(at_ms), zone) if midnight else wall.strftime("%H:%M")
            yield Mark(at_ms, says)


def _of_days(since: Instant, until: Instant, zone: ZoneInfo, days: int) -> Iterator[Mark]:
    day = local_date(since, zone)
    while (at := midnight_after(day, zone)) <= until:
        day += timedelta(days=1)
        if (day.toordinal() - 1) % days == 0:  # a Monday, where it is weeks
            yield Mark(to_ms(at), _day(at, zone))


def _of_months(since: Instant, until: Instant, zone: ZoneInfo, most: int) -> Iterator[Mark]:
    whole = (until - since) / _MONTH
    step = next((n for n in _MONTHS_TO_THE_MARK if whole / n < most), _MONTHS_TO_THE_MARK[-1])
    first = local_date(since, zone).replace(day=1)
    for number in count(1):
        month = first.month - 1 + number
        day = first.replace(year=first.year + month // 12, month=month % 12 + 1)
        at = midnight_before(day, zone)
        if at > until:
            return
        if (day.month - 1) % step == 0:
            yield Mark(to_ms(at), day.strftime("%b" if day.month > 1 else "%b %Y"))


def _day(at: Instant, zone: ZoneInfo) -> str:
    day = local_date(at, zone)
    return f"{day.strftime('%a')} {day.day} {day.strftime('%b')}"
