"""
The one place that knows time zones: instants in UTC, dates at a place.

Hours run on instants, days run on local dates. Everything else in thawline passes an
`Instant` along and never converts it. Where a local time exists twice or not at all,
reading it is refused, and a limit computed from it takes the earlier instant.
"""

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import UTC, date, datetime, time, timedelta, tzinfo
from functools import lru_cache
from typing import NewType
from zoneinfo import ZoneInfo, ZoneInfoNotFoundError

from thawline.base.errors import LocalTimeError, NaiveTimeError, RecordError, UnknownZoneError

Instant = NewType("Instant", datetime)
"""An aware datetime in UTC; made only by the functions of this module."""

_FIRST_YEAR, _LAST_YEAR = 1900, 2199
_MS = timedelta(milliseconds=1)
_MINUTE_MS = 60_000
_WHOLE_MINUTES_FROM_MS = 3 * 365 * 24 * 60 * _MINUTE_MS  # 1973, a year after the last exception
_LAST_MINUTE = time.max.replace(second=0, microsecond=0)
_EPOCH = Instant(datetime(1970, 1, 1, tzinfo=UTC))


@dataclass(frozen=True, slots=True)
class Occurred:
    """When something happened: not before `lo`, not after `hi`; both equal when it is known."""

    lo: Instant
    hi: Instant

    def __post_init__(self) -> None:
        if self.hi < self.lo:
            raise RecordError(
                f"an interval that ends {written(self.hi)} before it starts {written(self.lo)}",
                advice="give the earlier time first",
            )


def exactly(at: Instant) -> Occurred:
    """Return the interval of a time that is known."""
    return Occurred(at, at)


def instant(moment: datetime) -> Instant:
    """
    Return the moment as an instant in UTC.

    Raises:
        NaiveTimeError: The moment has no offset.
    """
    if moment.tzinfo is None or moment.utcoffset() is None:
        raise NaiveTimeError(
            f"time without an offset from UTC: {moment.isoformat()!r}",
            advice="write it with its offset, as in 2026-02-03T06:35:00-06:00",
        )
    return Instant(moment.astimezone(UTC))


def read_instant(text: str) -> Instant:
    """
    Return the instant written in ISO 8601 with an offset.

    Raises:
        RecordError: The text is not such a time, or has no offset.
    """
    try:
        moment = datetime.fromisoformat(text)
    except ValueError as error:
        raise RecordError(
            f"not a time: {text!r}", advice="write it as 2026-02-03T06:35:00-06:00"
        ) from error
    in_our_years(moment, text)
    return instant(moment)


def read_date(text: str) -> date:
    """
    Return the calendar date written in ISO 8601.

    Raises:
        RecordError: The text is not such a date.
    """
    try:
        day = date.fromisoformat(text)
    except ValueError as error:
        raise RecordError(f"not a date: {text!r}", advice="write it as 2026-02-03") from error
    in_our_years(day, text)
    return day


def in_our_years(day: date, text: str) -> None:
    """
    Look whether a date is one that people and vials of today can have.

    Raises:
        RecordError: The year is a slip; with it, limits would run out of the calendar.
    """
    if not _FIRST_YEAR <= day.year <= _LAST_YEAR:
        raise RecordError(
            f"the year {day.year} in {text!r}", advice=f"{_FIRST_YEAR} to {_LAST_YEAR}"
        )


def written(at: Instant, zone: tzinfo | None = None) -> str:
    """Return the instant in ISO 8601 with the zone's offset, to the second where it can."""
    there = at if zone is None else at.astimezone(zone)
    spec = "milliseconds" if there.microsecond else "seconds"
    return there.isoformat(timespec=spec)


def from_ms(milliseconds: int) -> Instant:
    """Return the instant that many milliseconds after 1970 began in UTC."""
    return Instant(_EPOCH + milliseconds * _MS)


def to_ms(at: Instant) -> int:
    """Return whole milliseconds since 1970 began in UTC, rounded down."""
    return (at - _EPOCH) // _MS


def zone_named(name: str) -> ZoneInfo:
    """
    Return the zone of that IANA name.

    Raises:
        UnknownZoneError: The machine's zone data has no such name.
    """
    try:
        return ZoneInfo(name)
    except (ZoneInfoNotFoundError, ValueError, OSError) as error:
        raise UnknownZoneError(
            f"unknown time zone: {name!r}", advice="use an IANA name, as in America/Chicago"
        ) from error


def local_date(at: Instant, zone: tzinfo) -> date:
    """Return the calendar date at the place when the instant happens."""
    return at.astimezone(zone).date()


def date_of_ms(milliseconds: int, zone: tzinfo) -> date:
    """
    Return the calendar date at the place of an instant in milliseconds; quick for many.

    Since 1972 every zone differs from UTC by whole minutes (IANA time zone database), so that a
    minute of UTC lies on one date everywhere.
    """
    if milliseconds < _WHOLE_MINUTES_FROM_MS:
        return local_date(from_ms(milliseconds), zone)
    return _date_of_minute(milliseconds // _MINUTE_MS, zone)


@lru_cache(maxsize=16_384)
def _date_of_minute(minute: int, zone: tzinfo) -> date:
    return local_date(from_ms(minute * _MINUTE_MS), zone)


def local_time(at: Instant, zone: tzinfo) -> time:
    """Return the wall-clock time at the place when the instant happens."""
    return at.astimezone(zone).time()


def last_minute(end: Instant, zone: tzinfo) -> tuple[date, time]:
    """
    Return the date and the wall-clock minute by which something ends, as people read it.

    An end in the first minute of a day is told as 23:59 of the day before: nobody can tell at
    which of the two midnights of a date "00:00" lies. It is never told later than it is.
    """
    day, wall = local_date(end, zone), local_time(end, zone).replace(second=0, microsecond=0)
    if wall != time():
        return day, wall
    return day - timedelta(days=1), _LAST_MINUTE


def local_instant(day: date, wall: time, zone: ZoneInfo) -> Instant:
    """
    Return the instant of a wall-clock time at a place.

    Raises:
        LocalTimeError: The clocks skip that time, or show it twice, that day.
    """
    first, second = _both(day, wall, zone)
    if first == second:
        return first
    shown = f"{day.isoformat()} {wall.isoformat(timespec='minutes')} in {zone.key}"
    if first < second:
        raise LocalTimeError(
            f"local time that exists twice: {shown}", advice="give the time with its offset"
        )
    raise LocalTimeError(
        f"local time that does not exist: {shown}", advice="give the time with its offset"
    )


def days_later(at: Instant, days: int, zone: ZoneInfo) -> Instant:
    """
    Return the end of a limit in days: the earlier of two readings of it.

    One reading is days of 24 hours of elapsed time, the other the same wall-clock time that
    many calendar days later at the place: the earlier instant where that comes twice, the
    instant of the change where the clocks skip it.
    Source: docs/background/vial-clocks.md, decision 0003.
    """
    there = at.astimezone(zone)
    wall = _first(there.date() + timedelta(days=days), there.time(), zone)
    return min(Instant(at + timedelta(days=days)), wall)


def earliest_days_later(lo: Instant, hi: Instant, days: int, zone: ZoneInfo) -> Instant:
    """Return the earliest end of a limit in days that began between the two instants."""
    starts = [lo, *_set_back(lo, hi, zone)]
    return min(days_later(start, days, zone) for start in starts)


def midnight_after(day: date, zone: ZoneInfo) -> Instant:
    """Return the first local midnight after the date: the end of that day at the place."""
    return _first(day + timedelta(days=1), time(), zone)


def last_moment(day: date, zone: ZoneInfo) -> Instant:
    """Return the last moment of a local day that the ledger tells apart, a millisecond."""
    return Instant(midnight_after(day, zone) - _MS)


def midnight_before(day: date, zone: ZoneInfo) -> Instant:
    """Return the local midnight on which the date begins at the place."""
    return _first(day, time(), zone)


def first_instant(day: date, wall: time, zone: ZoneInfo) -> Instant:
    """
    Return when a wall-clock time first comes at a place; for hours of opening, never a limit.

    Where the clocks skip it, it comes when they change.
    """
    return _first(day, wall, zone)


def _both(day: date, wall: time, zone: ZoneInfo) -> tuple[Instant, Instant]:
    """Return the two instants a wall time can mean; equal on an ordinary day."""
    moment = datetime.combine(day, wall.replace(fold=0), tzinfo=zone)
    return instant(moment), instant(moment.replace(fold=1))


def _first(day: date, wall: time, zone: ZoneInfo) -> Instant:
    """Return when a wall time first comes; when the clocks change where they skip it."""
    first, second = _both(day, wall, zone)
    return first if first <= second else _change(second, first, zone)


@dataclass(frozen=True, slots=True)
class ClockChange:
    """When the clocks at a place are set anew, and their offsets from UTC before and after."""

    at: Instant
    before: timedelta
    after: timedelta


def clock_changes(lo: Instant, hi: Instant, zone: tzinfo) -> Iterator[ClockChange]:
    """Yield the changes of the clocks at a place between two instants, in order."""
    while lo < hi:
        until = min(hi, Instant(lo + _WEEK))
        before, after = utc_offset(lo, zone), utc_offset(until, zone)
        if before != after:
            yield ClockChange(_change(lo, until, zone), before, after)
        lo = until


def utc_offset(at: Instant, zone: tzinfo) -> timedelta:
    """Return by how much the clocks at a place are ahead of UTC at an instant."""
    return at.astimezone(zone).utcoffset() or timedelta()


_WEEK = timedelta(days=7)
_STEP = timedelta(milliseconds=1)


def _set_back(lo: Instant, hi: Instant, zone: ZoneInfo) -> Iterator[Instant]:
    """Yield the instants between two others at which the clocks at the place are set back."""
    return (each.at for each in clock_changes(lo, hi, zone) if each.after < each.before)


def _change(before: Instant, after: Instant, zone: tzinfo) -> Instant:
    """Return the first instant, to the millisecond, that has the later one's offset."""
    while after - before > _STEP:
        middle = Instant(before + (after - before) // 2)
        if utc_offset(middle, zone) == utc_offset(after, zone):
            after = middle
        else:
            before = middle
    return from_ms(to_ms(after))
