"""How long a condition lasted over the steps of a record: in one go, in all, within a time."""

from dataclasses import dataclass

import numpy as np

from thawline.store.bounds import Flags, Steps
from thawline.store.readings import Times


@dataclass(frozen=True, slots=True)
class Lasted:
    """
    The longest that a condition lasted.

    Args:
        ms: How long; 0 where it never did.
        until_ms: The end of the step at which that, or what was asked for, was first reached;
            None where it never lasted at all.
    """

    ms: int
    until_ms: int | None


def in_one_go(steps: Steps, counted: Flags, out: Flags, enough_ms: int) -> Lasted:
    """
    Return the longest time in one go; a reading inside ends it.

    Args:
        steps: Of the record.
        counted: shape (n - 1,), the steps that count.
        out: shape (n,), the instants that do not end it.
        enough_ms: What is asked for; `until_ms` is where that was first reached.
    """
    lengths = np.where(counted, steps.to_ms - steps.from_ms, 0)
    so_far = np.cumsum(lengths)
    before = so_far - lengths
    begins = np.ones(len(lengths), dtype=bool)
    begins[1:] = ~(counted[:-1] & out[1:-1])
    base = np.maximum.accumulate(np.where(begins, before, 0))
    return _lasted(steps, np.where(counted, so_far - base, 0), enough_ms)


def in_all(steps: Steps, counted: Flags, enough_ms: int) -> Lasted:
    """Return the time of all counted steps together."""
    return _lasted(
        steps, np.cumsum(np.where(counted, steps.to_ms - steps.from_ms, 0)), enough_ms
    )


def most_within(steps: Steps, counted: Flags, within_ms: int, enough_ms: int) -> Lasted:
    """Return the most time that counted steps add up to within any stretch of that length."""
    from_ms, to_ms = steps.from_ms[counted], steps.to_ms[counted]
    lengths = to_ms - from_ms
    so_far = np.concatenate([[0], np.cumsum(lengths)])
    # A stretch that holds the most ends where a counted step ends, or can be moved to there.
    first = np.searchsorted(to_ms, to_ms - within_ms, side="right")
    cut = np.maximum(to_ms - within_ms - from_ms[first], 0)
    whole = np.zeros(len(counted), dtype=np.int64)
    whole[counted] = so_far[1:] - so_far[first] - cut
    return _lasted(steps, whole, enough_ms)


def _lasted(steps: Steps, so_far_ms: Times, enough_ms: int) -> Lasted:
    longest = int(so_far_ms.max(initial=0))
    if not longest:
        return Lasted(0, None)
    reached = int(np.argmax(so_far_ms >= min(longest, enough_ms)))
    return Lasted(longest, int(steps.to_ms[reached]))
