"""
Is a night covered? Only once the site's dialler, or a named person, has answered a test call.

That a logger sends, and that this tool follows it, wakes nobody. What counts is that a test
call for this very night was answered by somebody who is there until it is over.
"""

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date, time, timedelta
from zoneinfo import ZoneInfo

from thawline.base.instants import Instant, first_instant, local_date

_DAY = timedelta(days=1)


@dataclass(frozen=True, slots=True)
class Hours:
    """When nobody is at the site, by its wall clock; a night ends on the next morning."""

    starts: time
    ends: time


@dataclass(frozen=True, slots=True)
class Night:
    """One night; `day_began`: when the night before it was over."""

    day_began: Instant
    starts: Instant
    ends: Instant


@dataclass(frozen=True, slots=True)
class TestCall:
    """A test call that was answered, and until when whoever answered it is there."""

    __test__ = False  # the trade's word; no test of this program

    answered_by: str
    at: Instant
    until: Instant
    dialler: bool = False


def night_of(hours: Hours, at: Instant, zone: ZoneInfo) -> Night:
    """Return the night that goes on, or the one to come; it is over at its end itself."""
    day = local_date(at, zone) - _DAY
    night = _beginning_on(hours, day, zone)
    while night.ends <= at:
        day += _DAY
        night = _beginning_on(hours, day, zone)
    return night


def covered_by(night: Night, answered: Iterable[TestCall], now: Instant) -> TestCall | None:
    """
    Return the test call that covers a night, None where it is not covered.

    It was answered after the night before was over, and not in the future; and whoever
    answered is there until this night ends, or longer.
    """
    fitting = [
        call
        for call in answered
        if night.day_began <= call.at <= now and call.until >= night.ends
    ]
    return max(fitting, key=lambda call: call.at, default=None)


def _beginning_on(hours: Hours, day: date, zone: ZoneInfo) -> Night:
    over_midnight = hours.ends <= hours.starts
    last = day if over_midnight else day - _DAY
    ends = day + _DAY if over_midnight else day
    return Night(
        first_instant(last, hours.ends, zone),
        first_instant(day, hours.starts, zone),
        first_instant(ends, hours.ends, zone),
    )
