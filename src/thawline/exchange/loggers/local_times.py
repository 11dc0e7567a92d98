"""
Local times to UTC in bulk: a zone as a table of stretches.

Each stretch of local time has one offset, or is doubtful: it comes twice that night, or not at
all. What is doubtful is never settled here; it is handed back.
"""

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import UTC, datetime, timedelta, tzinfo
from enum import IntEnum
from functools import lru_cache

import numpy as np
from numpy.typing import NDArray

from thawline.base.instants import Instant, clock_changes, instant, to_ms, utc_offset

FIRST_YEAR, LAST_YEAR = 2000, 2049
_MS = timedelta(milliseconds=1)


class Doubt(IntEnum):
    """What is wrong with a local time."""

    NONE = 0
    TWICE = 1  # the clocks were set back over it
    NEVER = 2  # the clocks were set forward over it
    FAR_AWAY = 3  # outside the years of the table


@dataclass(frozen=True, slots=True, eq=False)
class LocalTimes:
    """
    The stretches of a zone, earliest first; all arrays have shape (k,).

    Args:
        from_ms: Where each begins, in milliseconds of local time since 1970.
        offset_ms: How far it is ahead of UTC; counts only without a doubt.
        doubt: A `Doubt`.
    """

    from_ms: NDArray[np.int64]
    offset_ms: NDArray[np.int64]
    doubt: NDArray[np.int64]


@lru_cache(maxsize=32)
def local_times(
    zone: tzinfo, first_year: int = FIRST_YEAR, last_year: int = LAST_YEAR
) -> LocalTimes:
    """Return the stretches of a zone from one year to another, both included."""
    first = instant(datetime(first_year, 1, 1, tzinfo=UTC))
    end = instant(datetime(last_year + 1, 1, 1, tzinfo=UTC))
    before, after = utc_offset(first, zone) // _MS, utc_offset(end, zone) // _MS
    stretches = [
        (np.iinfo(np.int64).min, 0, Doubt.FAR_AWAY),
        (to_ms(first) + before, before, Doubt.NONE),
        *_changes(first, end, zone),
        (to_ms(end) + after, 0, Doubt.FAR_AWAY),
    ]
    columns = np.array(stretches, dtype=np.int64).T
    return LocalTimes(*(np.ascontiguousarray(column) for column in columns))


def _changes(lo: Instant, hi: Instant, zone: tzinfo) -> Iterator[tuple[int, int, Doubt]]:
    """Yield, for each change of the clocks, the doubtful stretch and the one after it."""
    for change in clock_changes(lo, hi, zone):
        before, after = change.before // _MS, change.after // _MS
        doubt = Doubt.TWICE if after < before else Doubt.NEVER
        yield to_ms(change.at) + min(before, after), 0, doubt
        yield to_ms(change.at) + max(before, after), after, Doubt.NONE
