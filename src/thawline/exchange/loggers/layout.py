"""
How one logger file is written, as far as it takes to read it.

Every part of a layout was seen in the file or was asked for; nothing in it is a guess.
"""

from dataclasses import dataclass
from datetime import timedelta, timezone
from enum import StrEnum
from zoneinfo import ZoneInfo

from thawline.exchange.dates import DateOrder


class Unit(StrEnum):
    """The unit that temperatures are written in."""

    CELSIUS = "C"
    FAHRENHEIT = "F"


@dataclass(frozen=True, slots=True)
class Probe:
    """One column of temperatures: where it stands, what it is called, in which unit."""

    column: int  # counted from 0
    name: str
    unit: Unit


@dataclass(frozen=True, slots=True)
class TimeFormat:
    """
    How the time of a reading is written.

    Args:
        columns: One column with date and time, or two: date, then time. Counted from 0.
        order: Of day, month and year.
        twelve_hours: With AM and PM.
        offset_in_text: Each time carries its own offset from UTC (or Z).
        zone: Where the times are local, or the fixed offset the file states; None only with
            `offset_in_text`.
    """

    columns: tuple[int, ...]
    order: DateOrder
    twelve_hours: bool
    offset_in_text: bool
    zone: ZoneInfo | timezone | None


@dataclass(frozen=True, slots=True)
class Layout:
    """
    How a logger file is written.

    Args:
        encoding: Name of the Python codec, without a byte order mark.
        delimiter: One character.
        first_line: The line of the first reading, counted from 1.
        time: How times are written.
        probes: Columns of temperatures, left to right.
        decimal_comma: Whether decimals follow a comma.
        drift: By how much the device says that its clock was ahead (+) or behind (-) at the
            end, and over how long; None where it says nothing. Reported, never applied.
        stated_interval: The interval between readings that the header states.
        read_as: How each part was taken, in words for people.
    """

    encoding: str
    delimiter: str
    first_line: int
    time: TimeFormat
    probes: tuple[Probe, ...]
    decimal_comma: bool
    drift: tuple[timedelta, timedelta | None] | None = None
    stated_interval: timedelta | None = None
    read_as: tuple[str, ...] = ()
