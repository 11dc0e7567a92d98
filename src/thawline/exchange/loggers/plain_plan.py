"""
Which layouts are plain enough to be read in bulk, and what a bulk reader is told of them.

Plain: one byte a character, one probe, numbers for the date, a fixed number of columns. What
else is in such a file is handed back line by line to the reader that knows every layout.
"""

import codecs
from dataclasses import dataclass
from enum import IntEnum
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from thawline.exchange.dates import DateOrder
from thawline.exchange.loggers.layout import Layout, Unit
from thawline.store.readings import Readings

Bytes = NDArray[np.uint8]
Whole = NDArray[np.int64]
Temperatures = NDArray[np.int32]
Parts = tuple[tuple[int, int, int], int, int, int]
"""Of a line: date (its place, then days since 1970), time of day, offset, temperature."""

# Why a line is handed back, beside the numbers of `Doubt`. Plain whole numbers: compiled code
# knows no enums of ours.
COLUMNS, DATE, CLOCK, OFFSET, TEMPERATURE, UNLIKE, NO_END = 11, 12, 13, 14, 15, 16, 17

_ORDERS = (DateOrder.YMD, DateOrder.DMY, DateOrder.MDY)
# Codecs in which digits, signs and line ends are the bytes that ASCII has for them.
_LIKE_ASCII = frozenset(
    ("ascii", "utf-8", "utf-8-sig", "iso8859-1", "iso8859-15", "cp1252", "cp437", "cp850")
)


class Why(IntEnum):
    """Why a line is handed back and not read in bulk."""

    TWICE = 1
    NEVER = 2
    FAR_AWAY = 3
    COLUMNS = COLUMNS
    DATE = DATE
    CLOCK = CLOCK
    OFFSET = OFFSET
    TEMPERATURE = TEMPERATURE
    UNLIKE = UNLIKE
    NO_END = NO_END


WHY = {
    Why.TWICE: "this local time comes twice that night",
    Why.NEVER: "this local time does not exist that night",
    Why.FAR_AWAY: "a year far from ours",
    Why.COLUMNS: "not as many columns as the first line",
    Why.DATE: "no date in the order of the file",
    Why.CLOCK: "no time of day",
    Why.OFFSET: "no offset from UTC",
    Why.TEMPERATURE: "no temperature",
    Why.UNLIKE: "written otherwise than the first line",
    Why.NO_END: "the file ends within this line",
}
"""As it is told to people."""


@dataclass(frozen=True, slots=True)
class OddLine:
    """
    A line that was not read in bulk.

    Args:
        line: Counted from 1 in the file.
        text: Its bytes, without the line end.
        why: What deviates.
        before: How many readings of the same block came before it.
    """

    line: int
    text: bytes
    why: Why
    before: int


@dataclass(frozen=True, slots=True, eq=False)
class PlainBlock:
    """The readings of some lines in a row, and the lines that were not read."""

    raw: Readings
    odd: tuple[OddLine, ...]
    lines: int
    used: int  # bytes


class Plan(NamedTuple):
    """
    Where things stand in a line, as whole numbers.

    Args:
        delimiter: Its byte.
        columns: How many each line has.
        date: The column of the date, or of date and clock.
        clock: The column of the clock; the same as `date` for one column.
        temp: The column of the temperature.
        order: Of the date: 0 year-month-day, 1 day-month-year, 2 month-day-year.
        twelve: 1 with AM and PM.
        offset: 1 where each time carries its offset.
        decimal: The byte before decimals.
        fahrenheit: 1 for degrees Fahrenheit.
    """

    delimiter: int
    columns: int
    date: int
    clock: int
    temp: int
    order: int
    twelve: int
    offset: int
    decimal: int
    fahrenheit: int


def fits(layout: Layout) -> bool:
    """Say whether a file of this layout can be read in bulk."""
    codec = codecs.lookup(layout.encoding).name
    time = layout.time
    columns = {*time.columns, *(probe.column for probe in layout.probes)}
    delimiter = layout.delimiter.encode("ascii", "replace")
    return (
        codec in _LIKE_ASCII
        and len(layout.probes) == 1
        and len(columns) == len(time.columns) + 1
        and len(delimiter) == 1
        and delimiter not in _never_between(layout)
        and (time.offset_in_text or time.zone is not None)
    )


def plan_of(layout: Layout, first_line: bytes) -> Plan:
    """Return what a bulk reader is told; the first line of readings says how many columns."""
    delimiter = layout.delimiter.encode()
    needed = max(*layout.time.columns, layout.probes[0].column)
    return Plan(
        delimiter=delimiter[0],
        columns=max(first_line.count(delimiter), needed) + 1,
        date=layout.time.columns[0],
        clock=layout.time.columns[-1],
        temp=layout.probes[0].column,
        order=_ORDERS.index(layout.time.order),
        twelve=int(layout.time.twelve_hours),
        offset=int(layout.time.offset_in_text),
        decimal=b",."[not layout.decimal_comma],
        fahrenheit=int(layout.probes[0].unit is Unit.FAHRENHEIT),
    )


def _never_between(layout: Layout) -> tuple[bytes, ...]:
    """Return what may stand inside a field, and so cannot part two."""
    inside = (b"0", b"?", b" ", b"-", b"/", b".", b":", b"+", b"\n", b"\r", b'"')
    return (*inside, b",") if layout.decimal_comma else inside
