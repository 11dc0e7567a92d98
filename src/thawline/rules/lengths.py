"""
Hours written with a decimal point, and what else the writer may have meant.

2.5 h is two and a half hours. 2.30 h is 2 h 18 min, and half of all readers take it for 2:30.
"""

import re
from dataclasses import dataclass
from decimal import Decimal

_HOURS = re.compile(r"(\d+)(?:[.,](\d+))? ?h(?:(?:ou)?rs?|oras?)?", re.ASCII | re.IGNORECASE)
_MINUTES_IN_AN_HOUR = 60
_DIGITS_OF_MINUTES = 2


@dataclass(frozen=True, slots=True)
class Hours:
    """A length in minutes as written, and as hours and minutes where it may be meant so."""

    minutes: Decimal
    or_minutes: int | None = None


def read_hours(text: str) -> Hours | None:
    """Return the minutes of hours with or without a decimal part; None for anything else."""
    match = _HOURS.fullmatch(text.strip())
    if match is None:
        return None
    whole, part = match.groups(default="")
    minutes = Decimal(f"{whole}.{part or 0}") * _MINUTES_IN_AN_HOUR
    if len(part) == _DIGITS_OF_MINUTES and int(part) < _MINUTES_IN_AN_HOUR:
        return Hours(minutes, int(whole) * _MINUTES_IN_AN_HOUR + int(part))
    return Hours(minutes)


def reading_of(text: str) -> str:
    """Return how a length that is not ISO 8601 may be meant; empty where nobody can say."""
    hours = read_hours(text)
    if hours is None:
        return ""
    says = f"{text.strip()} is {_whole(hours.minutes)} min"
    if hours.or_minutes is None:
        return says
    whole, part = divmod(hours.or_minutes, _MINUTES_IN_AN_HOUR)
    return f"{says}; {whole} h {part} min is {hours.or_minutes} min"


def _whole(minutes: Decimal) -> str:
    return f"{minutes.normalize():f}"
