"""
Times of day as files write them: 24 hours, or 12 hours with AM and PM.

A time without AM or PM is a 24-hour time. Where that would book people between one and seven
at night, and nothing in the file shows the 24-hour clock, the person is asked.
"""

import re
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import time

from thawline.base.errors import ExchangeError

_WRITTEN = re.compile(
    r"(?P<hour>\d{1,2})(?:(?:[:.]|\s?h\s?)(?P<minute>\d{2})(?::(?P<second>\d{2})(?:\.0+)?)?|\s?h)?"
    r"\s?(?P<half>[ap]\.?\s?m\.?)?",
    re.ASCII | re.IGNORECASE,
)
_RUN = re.compile(r"(?P<hour>\d{2})(?P<minute>\d{2})", re.ASCII)
_NOON = 12
_NIGHT = range(1, 7)  # hours in which no clinic is booked: common practice; only decides to ask


@dataclass(frozen=True, slots=True)
class WrittenTime:
    """A cell that should hold a time of day, and the line it stands on."""

    line: int
    text: str


@dataclass(frozen=True, slots=True)
class Dial:
    """How a file's times are written: with AM and PM somewhere, or on the 24-hour clock."""

    twelve_hours: bool

    def shown(self) -> str:
        """Return it in words."""
        return "12-hour times with AM and PM" if self.twelve_hours else "24-hour times"


def settle_dial(cells: Sequence[WrittenTime], asked: str | None) -> Dial:
    """
    Return how a file's times are read.

    Args:
        cells: Every time in the file.
        asked: "24" when the person said so, else None.

    Raises:
        ExchangeError: It cannot be told whether a time is at night or in the afternoon.
    """
    found = [(cell, parts) for cell in cells if (parts := _parts(cell.text))]
    if any(parts.half for _, parts in found):
        return Dial(twelve_hours=True)
    shows_24 = any(parts.hour == 0 or parts.hour > _NOON for _, parts in found)
    doubtful = [cell for cell, parts in found if parts.hour in _NIGHT]
    if doubtful and not shows_24 and asked is None:
        raise ExchangeError(
            f"line {doubtful[0].line}: {doubtful[0].text!r} could be at night or in the "
            "afternoon, and no other time in the file tells",
            advice="say --clock 24 if these are 24-hour times; else write AM or PM in the file",
        )
    return Dial(twelve_hours=False)


def read_time(text: str, dial: Dial) -> time | None:
    """Return the time of day; None when the text is none under that way of writing."""
    parts = _parts(text)
    if parts is None:
        return None
    if parts.half is None:
        unmarked = dial.twelve_hours and 0 < parts.hour <= _NOON
        return None if unmarked else _time(parts.hour, parts)
    if not 1 <= parts.hour <= _NOON:
        return None
    return _time(parts.hour % _NOON + (_NOON if parts.half == "p" else 0), parts)


@dataclass(frozen=True, slots=True)
class _Parts:
    hour: int
    minute: int
    second: int
    half: str | None  # "a" before noon, "p" from noon on


def _parts(text: str) -> _Parts | None:
    match = _RUN.fullmatch(text)
    if match:
        return _Parts(int(match["hour"]), int(match["minute"]), 0, None)
    match = _WRITTEN.fullmatch(text)
    if match is None or text.isdecimal():
        return None
    half = match["half"] and match["half"][0].lower()
    return _Parts(
        int(match["hour"]), int(match["minute"] or 0), int(match["second"] or 0), half
    )


def _time(hour: int, parts: _Parts) -> time | None:
    try:
        return time(hour, parts.minute, parts.second)
    except ValueError:
        return None
