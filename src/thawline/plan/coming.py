"""
How many people come in each slot of the hours that are left, as chances.

Booked people come in the slot of their place, each by themselves with their own chance; people
without a booking come at random, evenly (Poisson).
"""

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import timedelta

import numpy as np
from scipy.stats import poisson

from thawline.base.errors import RecordError
from thawline.base.instants import Instant
from thawline.plan.opening_kernel import Numbers

_RARE = 1e-10  # more walk-ups in a slot than this chance are counted as the last number
_HARDLY_EVER = 1e-6  # one day in a million needs a vial more than the advice knows of


@dataclass(frozen=True, slots=True)
class Due:
    """Somebody who is expected at a time, with the chance (0 to 1) that they come."""

    at: Instant
    comes: float
    called: bool = False


def coming(
    due: Iterable[Due], start: Instant, slot: timedelta, slots: int, walking: float
) -> Numbers:
    """
    Return the chance of each number of people, shape (slots, most + 1).

    Who was due before the start counts in the first slot, who is due after the last slot in
    the last one. `walking`: people without a booking in a slot, on average.

    Raises:
        RecordError: A chance or an average is none.
    """
    if not 0 <= walking < float("inf"):
        raise RecordError(f"{walking} walk-ups in a slot", advice="0 or more people")
    most = int(poisson.isf(_RARE, walking)) if walking else 0
    alone = poisson.pmf(np.arange(most + 1), walking) if walking else np.ones(1)
    rows = [alone for _ in range(slots)]
    for each in due:
        number = min(max((each.at - start) // slot, 0), slots - 1)
        rows[number] = np.convolve(rows[number], [1 - each.comes, each.comes])
    found = np.zeros((slots, max(len(row) for row in rows)))
    for number, row in enumerate(rows):
        found[number, : len(row)] = row
        found[number, len(row) - 1] += 1 - row.sum()
    return found


def nearly_most(arrivals: Numbers) -> int:
    """Return the number of people that is hardly ever passed in all the slots together."""
    found = np.ones(1)
    for chances in arrivals:
        found = np.convolve(found, chances)
    return int(np.searchsorted(np.cumsum(found), 1 - _HARDLY_EVER))
