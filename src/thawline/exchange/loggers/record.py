"""What a logger file says of one probe: its readings, and every line that gave none."""

from collections import Counter
from dataclasses import dataclass
from enum import StrEnum

import numpy as np
from numpy.typing import NDArray

from thawline.exchange.loggers.layout import Probe
from thawline.store.readings import Readings, Temperatures


class Why(StrEnum):
    """Why a line gave no reading with a time."""

    NO_TIME = "no date and time"
    NO_VALUE = "no temperature"
    EVENT = "an event without a temperature"
    CUT_OFF = "the last line has no end and may be cut off"
    SKIPPED = "a local time that the clocks skip"
    REPEATED = "a local time that comes twice, and the rows do not tell which it is"


@dataclass(frozen=True, slots=True)
class NotRead:
    """A line that is no reading with a time; `temp_mc` where it has a temperature though."""

    line: int
    text: str
    why: Why
    temp_mc: int | None = None


@dataclass(frozen=True, slots=True, eq=False)
class Record:
    """
    What a logger file says of one probe.

    Args:
        probe: The column it stands in.
        name: What the probe is called.
        readings: In the order of the file.
        lines: shape (n,), the line of each reading.
        not_read: The lines that gave none, the first of them; `counts` has them all.
        counts: How many lines gave none, by why.
        unplaced_mc: Temperatures, in thousandths, whose time is not known.
        ends_unread: Times without a temperature stand before the first reading or after the
            last: no gap between readings shows them.
        decimals: The most that any temperature was written with.
    """

    probe: Probe
    name: str
    readings: Readings
    lines: NDArray[np.int64]
    not_read: tuple[NotRead, ...]
    counts: Counter[Why]
    unplaced_mc: Temperatures
    ends_unread: bool
    decimals: int
