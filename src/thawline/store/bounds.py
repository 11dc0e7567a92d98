"""
How long it was out at least and at most, whatever happened between the readings.

A reading is off by at most the logger's accuracy. Between two readings with no gap the
temperature stays within what the two ends allow; a gap can have held anything. `at least` is
the least time out of all the courses that fit, `at most` the most.
docs/background/exposure.md says so with an example.
"""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from thawline.rules.cold import Side
from thawline.store.limits import Limit
from thawline.store.readings import Temperatures, Times
from thawline.store.tidy import Settled, Tidy, is_gap

Flags = NDArray[np.bool_]


@dataclass(frozen=True, slots=True, eq=False)
class Steps:
    """
    The times from each reading to the next; all arrays have shape (n - 1,).

    Args:
        from_ms: Where each step begins.
        to_ms: Where it ends.
        gap: Too long to say anything of what lies between.
        certain: Out on this side all the way, whatever the course.
        seen: At least one end reads out, and it is no gap.
        possible: Perhaps out on this side at some time; every gap is.
    """

    from_ms: Times
    to_ms: Times
    gap: Flags
    certain: Flags
    seen: Flags
    possible: Flags


@dataclass(frozen=True, slots=True)
class Window:
    """A time asked about, such as the stay of a vial: from its first instant up to its last."""

    from_ms: int
    to_ms: int


@dataclass(frozen=True, slots=True)
class Bounds:
    """
    How long it was out on one side; all in milliseconds.

    Args:
        at_least_ms: Of all the courses that fit, the one that was out least.
        conservative_ms: The steps with an end that reads out; gaps are not in it.
        at_most_ms: Of all the courses that fit, the one that was out longest.
        unknown_ms: Of that, the time of which nothing is known.
    """

    at_least_ms: int
    conservative_ms: int
    at_most_ms: int
    unknown_ms: int


def steps(settled: Settled, interval_ms: int | None, limit: Limit, margin_mc: int) -> Steps:
    """
    Return the steps between readings, and which of them were or could have been out.

    Args:
        settled: In order, one entry for each instant.
        interval_ms: Between readings; None only where there are no steps.
        limit: The last temperature that is still in.
        margin_mc: How far the truth may lie from a reading, either way.
    """
    worst, mildest = worst_and_mildest(settled, limit.side)
    from_ms, to_ms = settled.at_ms[:-1], settled.at_ms[1:]
    gap = is_gap(to_ms - from_ms, interval_ms or 0)
    certainly = limit.is_beyond(mildest, margin_mc)
    seen, possibly = limit.is_beyond(worst), limit.is_beyond(worst, -margin_mc)
    return Steps(
        from_ms=from_ms,
        to_ms=to_ms,
        gap=gap,
        certain=certainly[:-1] & certainly[1:] & ~gap,
        seen=(seen[:-1] | seen[1:]) & ~gap,
        possible=possibly[:-1] | possibly[1:] | gap,
    )


def worst_and_mildest(settled: Settled, side: Side) -> tuple[Temperatures, Temperatures]:
    """Return the reading of each instant that is farthest out on a side, and the nearest in."""
    if side is Side.ABOVE:
        return settled.warmest_mc, settled.coldest_mc
    return settled.coldest_mc, settled.warmest_mc


def bounds(
    tidy: Tidy, limit: Limit, accuracy_mc: int = 0, window: Window | None = None
) -> Bounds:
    """
    Return how long a record was out on one side, at least and at most.

    Args:
        tidy: The record in order.
        limit: The last temperature that is still in.
        accuracy_mc: How far the logger may be off, either way.
        window: The time asked about. What of it lies before the first reading or after the last
            is not known; None: from the first reading to the last.
    """
    found = steps(tidy.settled, tidy.interval_ms, limit, accuracy_mc + tidy.half_step_mc)
    if window is None:
        lengths, outside = found.to_ms - found.from_ms, 0
    else:
        starts = np.maximum(found.from_ms, window.from_ms)
        lengths = np.maximum(np.minimum(found.to_ms, window.to_ms) - starts, 0)
        outside = window.to_ms - window.from_ms - int(lengths.sum())
    return Bounds(
        at_least_ms=int(lengths[found.certain].sum()),
        conservative_ms=int(lengths[found.seen].sum()),
        at_most_ms=int(lengths[found.possible].sum()) + outside,
        unknown_ms=int(lengths[found.gap].sum()) + outside,
    )
