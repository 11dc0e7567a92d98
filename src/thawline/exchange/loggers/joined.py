"""
Several files of one probe as one record: in order of time, a reading that two files hold once.

A file alone stays in its own order, so that disorder in it is seen; of several, each is looked
at for itself before they are put together.
"""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from thawline.exchange.loggers.layout import Layout
from thawline.exchange.loggers.record import Record
from thawline.store.readings import Readings, Temperatures
from thawline.store.tidy import disorder


@dataclass(frozen=True, slots=True, eq=False)
class LoggerFile:
    """One logger file, read: its name, how it is laid out, what it says of one probe."""

    name: str
    layout: Layout
    record: Record


@dataclass(frozen=True, slots=True)
class Late:
    """A reading that stands after a later one in its file."""

    file: str
    line: int
    at_ms: int


@dataclass(frozen=True, slots=True, eq=False)
class Joined:
    """
    The readings of one probe from all its files.

    Args:
        readings: Of one file as it has them; of several in order of time.
        repeated: How many readings were left out because an earlier file has the same.
        late: The first readings that stand after later ones.
        late_count: How many there are.
        unplaced_mc: Temperatures whose time is not known.
    """

    readings: Readings
    repeated: int
    late: tuple[Late, ...]
    late_count: int
    unplaced_mc: Temperatures


def joined(files: Sequence[LoggerFile]) -> Joined:
    """Return the record of all files together; there is at least one."""
    every = [file.record.readings for file in files]
    late, count = _late(files)
    readings, repeated = (every[0], 0) if len(files) == 1 else _in_order(every)
    unplaced = np.concatenate([file.record.unplaced_mc for file in files])
    return Joined(readings, repeated, late, count, unplaced)


def _in_order(every: Sequence[Readings]) -> tuple[Readings, int]:
    """Return all readings by time, those of the first file first, each once over the files."""
    at = np.concatenate([each.at_ms for each in every])
    temp = np.concatenate([each.temp_mc for each in every])
    file = np.repeat(np.arange(len(every)), [len(each) for each in every])
    order = np.lexsort((file, temp, at))
    at, temp, file = at[order], temp[order], file[order]
    begins = np.ones(len(at), dtype=np.bool_)
    begins[1:] = (at[1:] != at[:-1]) | (temp[1:] != temp[:-1])
    owner = file[begins][np.cumsum(begins) - 1] if len(file) else file
    kept = file == owner
    return Readings(at[kept], temp[kept]), int(np.count_nonzero(~kept))


def _late(files: Sequence[LoggerFile]) -> tuple[tuple[Late, ...], int]:
    found: list[Late] = []
    count = 0
    for file in files:
        record = file.record
        late = disorder(record.readings.at_ms)
        count += late.count
        found += [
            Late(file.name, int(record.lines[place]), int(record.readings.at_ms[place]))
            for place in late.first
        ]
    return tuple(found), count
