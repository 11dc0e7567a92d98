"""
Which doses on the table count for a plan: those that people will come for in time.

What must be used first is used first. Doses whose limit comes before the plan ends count only
as far as even a slow day brings enough people before it.
"""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from thawline.base.instants import Instant
from thawline.plan.half_hours import HALF_HOUR
from thawline.plan.thaw import Need


@dataclass(frozen=True, slots=True)
class Batch:
    """Doses in one vial on the table, usable until `use_by`."""

    use_by: Instant
    doses: int


def doses_used_in_time(batches: Iterable[Batch], needs: Sequence[Need]) -> int:
    """
    Return how many of the doses will be used, counted low.

    Args:
        batches: Doses that are ready, in any order.
        needs: The plan made as if nothing were ready.
    """
    used = 0
    for batch in sorted(batches, key=lambda each: each.use_by):
        used += min(batch.doses, max(0, _people_by(batch.use_by, needs) - used))
    return used


def _people_by(use_by: Instant, needs: Sequence[Need]) -> int:
    """Return how many people a slow day brings before the limit; on its last day, all."""
    ended = [need for need in needs if need.starts + HALF_HOUR <= use_by]
    if not ended:
        return 0
    last = ended[-1].people_so_far
    return last.high if len(ended) == len(needs) else last.low
