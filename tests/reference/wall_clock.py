"""
Instants as whole microseconds of UTC, and what a wall clock at a place shows then.

Written apart from the product on purpose: it tries every offset that the place uses around
a date and asks which of them really gives the wall time that is looked for.
"""

from calendar import monthrange
from datetime import UTC, date, datetime, time, timedelta
from functools import lru_cache
from zoneinfo import ZoneInfo

SECOND = 1_000_000
MINUTE = 60 * SECOND
HOUR = 60 * MINUTE
DAY = 24 * HOUR
_EPOCH = datetime(1970, 1, 1, tzinfo=UTC)
_MICRO = timedelta(microseconds=1)


def micros(moment: datetime) -> int:
    """Return microseconds since 1970 began in UTC."""
    return (moment - _EPOCH) // _MICRO


def length(span: timedelta) -> int:
    """Return a length of time in microseconds."""
    return span // _MICRO


def moment(instant: int) -> datetime:
    """Return the instant as an aware datetime in UTC."""
    return _EPOCH + instant * _MICRO


def read(text: str) -> int:
    """Return the instant written in ISO 8601 with its offset."""
    return micros(datetime.fromisoformat(text))


def shown(instant: int, zone: ZoneInfo) -> datetime:
    """Return the wall time at the place, without any zone attached."""
    return moment(instant).astimezone(zone).replace(tzinfo=None)


def readings(wall: datetime, zone: ZoneInfo) -> list[int]:
    """
    Return the instants at which the place shows a wall time, earliest first.

    Two on the night it is shown twice; of a time that the clocks skip, the instant of the
    change.
    """
    as_if_utc = micros(wall.replace(tzinfo=UTC))
    offsets = {offset(as_if_utc + days * DAY, zone) for days in (-2, 2)}
    tried = sorted(as_if_utc - used for used in offsets)
    shows_it = [instant for instant in tried if shown(instant, zone) == wall]
    return shows_it or [_first_after(wall, zone, tried[0], tried[-1])]


def _first_after(wall: datetime, zone: ZoneInfo, before: int, after: int) -> int:
    """Return the first instant between two that shows a time after the skipped one."""
    while after - before > 1:
        middle = (before + after) // 2
        if shown(middle, zone) > wall:
            after = middle
        else:
            before = middle
    return after


def offset(instant: int, zone: ZoneInfo) -> int:
    """Return how far the wall clock is ahead of UTC, in microseconds."""
    return length(moment(instant).astimezone(zone).utcoffset() or timedelta(0))


@lru_cache(maxsize=8192)
def days_on(instant: int, days: int, zone: ZoneInfo) -> int:
    """Return the earlier of N x 24 hours on, and the same wall time N calendar days on."""
    same_wall_time = shown(instant, zone) + timedelta(days=days)
    return min(instant + days * DAY, *readings(same_wall_time, zone))


def last_day(printed: str) -> date:
    """Return the last day of an expiry as printed: a date, or a year and month."""
    if len(printed) == len("2026-08"):
        year, month = int(printed[:4]), int(printed[5:])
        return date(year, month, monthrange(year, month)[1])
    return date.fromisoformat(printed)


@lru_cache(maxsize=4096)
def end_of_label(printed: str, zone: ZoneInfo) -> int:
    """Return the local midnight after the expiry date."""
    midnight = datetime.combine(last_day(printed) + timedelta(days=1), time())
    return readings(midnight, zone)[0]
