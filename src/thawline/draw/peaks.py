"""
Many readings in few columns, with no peak lost.

Of each column the first and the last reading are kept, the lowest and the highest.
"""

from collections.abc import Iterator
from dataclasses import dataclass

import numpy as np

from thawline.store.readings import Readings


@dataclass(frozen=True, slots=True)
class Column:
    """The readings that share a column, thousandths of a degree, and when their ends were."""

    number: int
    first_ms: int
    last_ms: int
    first_mc: int
    lowest_mc: int
    highest_mc: int
    last_mc: int


def columns(record: Readings, since_ms: int, until_ms: int, width: int) -> Iterator[Column]:
    """
    Yield the columns that have a reading, left to right.

    Args:
        record: In order of time.
        since_ms: The left edge of the first column.
        until_ms: The right edge of the last; a reading there lies in the last.
        width: How many columns.
    """
    inside = (record.at_ms >= since_ms) & (record.at_ms <= until_ms)
    at_ms, temp_mc = record.at_ms[inside], record.temp_mc[inside]
    if not len(at_ms):
        return
    number = np.minimum((at_ms - since_ms) * width // max(until_ms - since_ms, 1), width - 1)
    starts = np.flatnonzero(np.diff(number, prepend=-1))
    lowest = np.minimum.reduceat(temp_mc, starts)
    highest = np.maximum.reduceat(temp_mc, starts)
    ends = np.append(starts[1:], len(at_ms)) - 1
    for place, (start, end) in enumerate(zip(starts, ends, strict=True)):
        yield Column(
            int(number[start]),
            int(at_ms[start]),
            int(at_ms[end]),
            int(temp_mc[start]),
            int(lowest[place]),
            int(highest[place]),
            int(temp_mc[end]),
        )
