"""
What one cell of a logger file is: a date, a time of day, both in one, a number, or neither.

Nothing here decides between two meanings; a cell that has several keeps them all.
"""

import re
from collections.abc import Callable
from dataclasses import dataclass
from enum import StrEnum
from functools import lru_cache

from thawline.exchange import dates
from thawline.exchange.clock_times import Dial, read_time

MOST_CELL = 64  # characters; no time or number of a logger is longer

_TIME = (
    r"\d{1,2}:\d{2}(?::\d{2}(?:[.,]\d{1,9})?)?(?:\s?[ap]\.?\s?m\.?)?"
    r"|\d{1,2}\s?[ap]\.?\s?m\.?|\d{1,2}\s?h\s?\d{2}|\d{1,2}\.\d{2}\.\d{2}"
)
_OFFSET = r"(?:Z|(?:UTC|GMT)?[+\-−]\d{1,2}:?\d{2}|UTC|GMT)"  # noqa: RUF001  a minus sign in files
_DAY_FIRST = re.compile(
    rf"(?P<day>\S.{{0,30}}?)(?:T|,?\s{{1,4}})(?P<time>{_TIME})\s?(?P<offset>{_OFFSET})?",
    re.ASCII | re.IGNORECASE,
)
_TIME_FIRST = re.compile(
    rf"(?P<time>{_TIME})\s?(?P<offset>{_OFFSET})?,?\s{{1,4}}(?P<day>\S.{{0,30}})",
    re.ASCII | re.IGNORECASE,
)
_TIME_ALONE = re.compile(
    rf"(?P<time>{_TIME})\s?(?P<offset>{_OFFSET})?", re.ASCII | re.IGNORECASE
)
_FRACTION = re.compile(r"(?<=:\d\d)[.,](?P<digits>\d{1,9})", re.ASCII)
_WEEKDAY = re.compile(
    r"(?:mon|tue|wed|thu|fri|sat|sun|lun|mar|mi[eé]|jue|vie|s[aá]b|dom)[a-zé]{0,7}\.?,?\s+(?=\d)",
    re.IGNORECASE,
)
_NUMBER = re.compile(
    r"(?P<number>[-+−]?(?:\d{1,9}(?:[.,]\d{1,17})?|[.,]\d{1,17}))"  # noqa: RUF001
    r"\s?(?P<unit>[°º˚�]\s?[CF]|deg\.?\s?[CF]|[CF]|%(?:\s?RH)?)?\s?[*!]?",
    re.ASCII | re.IGNORECASE,
)
_MS_A_SECOND, _S_A_MINUTE, _MINUTES_AN_HOUR = 1000, 60, 60
_DIGITS_OF_MS = 3


class Kind(StrEnum):
    """What a cell is."""

    BLANK = "blank"
    MOMENT = "moment"  # date and time of day
    DAY = "day"
    TIME = "time"
    NUMBER = "number"
    TEXT = "text"


@dataclass(frozen=True, slots=True)
class Moment:
    """A date and a time of day as written, and the offset from UTC behind them; "" for none."""

    day: str
    time: str
    offset: str


@dataclass(frozen=True, slots=True)
class Number:
    """A number as written, and the unit behind it: "C", "F", "%", or "" for none."""

    text: str
    unit: str


def kind_of(cell: str) -> Kind:
    """Return what a cell is; a run of eight digits that is a date is one."""
    if not cell or len(cell) > MOST_CELL:
        return Kind.TEXT if cell else Kind.BLANK
    for kind, reads in _KINDS:
        if reads(cell):
            return kind
    return Kind.TEXT


def moment_in(cell: str) -> Moment | None:
    """Return the date and time in a cell, in either order; None when it does not hold both."""
    if len(cell) > MOST_CELL:
        return None
    for form in (_DAY_FIRST, _TIME_FIRST):
        match = form.fullmatch(cell)
        if match and is_day(day := without_weekday(match["day"])):
            return Moment(day, match["time"], match["offset"] or "")
    return None


def time_in(cell: str) -> Moment | None:
    """Return the time of day in a cell, with no date; None when it holds something else."""
    match = _TIME_ALONE.fullmatch(cell) if len(cell) <= MOST_CELL else None
    return Moment("", match["time"], match["offset"] or "") if match else None


@lru_cache(maxsize=4096)
def is_day(text: str) -> bool:
    """Say whether a text is a date in some order."""
    return bool(dates.readings(text))


def without_weekday(text: str) -> str:
    """Return a written date without the name of the day of the week before it."""
    return _WEEKDAY.sub("", text, count=1)


def ms_of_day(text: str, *, twelve_hours: bool) -> int | None:
    """Return milliseconds since midnight; None when the text is no time of that dial."""
    fraction = _FRACTION.search(text)
    whole = text[: fraction.start()] + text[fraction.end() :] if fraction else text
    if whole.count(".") == 2 and ":" not in whole and not _half(whole):  # noqa: PLR2004  10.15.00
        whole = whole.replace(".", ":")
    at = read_time(whole, Dial(twelve_hours))
    if at is None:
        return None
    seconds = (at.hour * _MINUTES_AN_HOUR + at.minute) * _S_A_MINUTE + at.second
    digits = fraction["digits"][:_DIGITS_OF_MS].ljust(_DIGITS_OF_MS, "0") if fraction else "0"
    return seconds * _MS_A_SECOND + int(digits)


def says_half(text: str) -> bool:
    """Say whether a time of day is written with AM or PM."""
    return _half(text)


def ms_of_offset(text: str) -> int | None:
    """Return an offset from UTC in milliseconds, of "Z", "-06:00" or "UTC+5"; None if none."""
    bare = text.upper().replace("−", "-").removeprefix("UTC").removeprefix("GMT").strip()  # noqa: RUF001
    if bare in ("", "Z"):
        return 0 if text else None
    match = re.fullmatch(r"([+-])\s?(\d{1,2})(?::?(\d{2}))?", bare, re.ASCII)
    if match is None:
        return None
    minutes = int(match[2]) * _MINUTES_AN_HOUR + int(match[3] or 0)
    if minutes > _MOST_OFFSET_MINUTES or int(match[3] or 0) >= _MINUTES_AN_HOUR:
        return None
    sign = -1 if match[1] == "-" else 1
    return sign * minutes * _S_A_MINUTE * _MS_A_SECOND


_MOST_OFFSET_MINUTES = 14 * 60  # UTC+14 is the farthest in use; time zone database


def number_in(cell: str) -> Number | None:
    """Return the number in a cell and its unit; None when it is none."""
    match = _NUMBER.fullmatch(cell) if len(cell) <= MOST_CELL else None
    if match is None:
        return None
    unit = (match["unit"] or "").upper()
    return Number(match["number"].replace("−", "-"), unit[-1:] if unit[:1] != "%" else "%")  # noqa: RUF001


_KINDS: tuple[tuple[Kind, Callable[[str], object]], ...] = (
    (Kind.MOMENT, moment_in),
    (Kind.TIME, time_in),
    (Kind.DAY, lambda cell: is_day(without_weekday(cell))),
    (Kind.NUMBER, number_in),
)


def _half(text: str) -> bool:
    return "a" in text.lower() or "p" in text.lower()
