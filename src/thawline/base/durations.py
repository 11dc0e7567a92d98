"""
How long something is allowed, as the protocol writes it: ISO 8601, in days or in hours.

Hours are elapsed time. Days end at the earlier of so many times 24 hours and the same
wall-clock time so many calendar days later. Months and years are refused: nobody can say
how long they are.
"""

import re
from dataclasses import dataclass
from datetime import timedelta
from zoneinfo import ZoneInfo

from thawline.base.errors import RuleError
from thawline.base.instants import Instant, earliest_days_later

_ISO = re.compile(
    r"P(?:(?P<weeks>\d+)W|(?:(?P<days>\d+)D)?"
    r"(?:T(?=\d)(?:(?P<hours>\d+)H)?(?:(?P<minutes>\d+)M)?(?:(?P<seconds>\d+)S)?)?)",
    re.ASCII,
)
_MOST_DIGITS = 6
_LONGEST = timedelta(days=36_525)


@dataclass(frozen=True, slots=True)
class Allowance:
    """A length of time from a protocol: whole calendar days, then elapsed time on top."""

    days: int
    elapsed: timedelta

    def end(self, started: Instant, zone: ZoneInfo) -> Instant:
        """Return the instant from which the allowance is used up."""
        return self.earliest_end(started, started, zone)

    def earliest_end(self, lo: Instant, hi: Instant, zone: ZoneInfo) -> Instant:
        """Return the earliest end it can have when it started between the two instants."""
        last_day = earliest_days_later(lo, hi, self.days, zone) if self.days else lo
        return Instant(last_day + self.elapsed)

    def less(self, used: timedelta) -> "Allowance":
        """Return what is left after some of the elapsed time was used elsewhere."""
        return Allowance(self.days, self.elapsed - used)

    def longest(self) -> timedelta:
        """Return the allowance as elapsed time, a day counted as 24 hours."""
        return timedelta(days=self.days) + self.elapsed


def read_allowance(text: str) -> Allowance:
    """
    Return the allowance written in ISO 8601, as in P30D, PT12H or PT2H30M.

    Raises:
        RuleError: It is not one, has a decimal fraction, or counts in months or years.
    """
    match = _ISO.fullmatch(text)
    if match is None or not match.group().strip("P") or _has_long_number(text):
        raise RuleError(
            f"not a duration: {text!r}",
            advice="write ISO 8601 in whole days, hours and minutes, as in P30D or PT2H30M",
        )
    parts = {name: int(value or 0) for name, value in match.groupdict().items()}
    days = 7 * parts.pop("weeks") + parts.pop("days")
    allowance = Allowance(days, timedelta(**parts))
    if allowance.longest() > _LONGEST:
        raise RuleError(f"longer than a hundred years: {text!r}", advice="write what is meant")
    return allowance


def _has_long_number(text: str) -> bool:
    return any(len(digits) > _MOST_DIGITS for digits in re.findall(r"\d+", text))


def spoken(length: timedelta) -> str:
    """Return the length in words to the minute below: "2 h 25 min", "less than 1 min"."""
    minutes = length // timedelta(minutes=1)
    if minutes < 1:
        return "less than 1 min"
    days, rest = divmod(minutes, 24 * 60)
    hours, left = divmod(rest, 60)
    parts = [(days, "d"), (hours, "h"), (left, "min")]
    return " ".join(f"{count} {unit}" for count, unit in parts if count)
