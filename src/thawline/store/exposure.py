"""
How long a record was out of its band, on each side, and what is not known of it.

Three values of the time out are told, and the decision rests on the conservative one: straight
lines between readings (interpolated), each reading kept until the next (hold), and every step
with an end outside (conservative). A gap ends an excursion and belongs to none of the three.
Beside them stand at least and at most, through the gaps and with the logger's accuracy.
docs/background/exposure.md has the promise, the steps and an example by hand.
"""

from collections.abc import Iterable
from math import fsum

import numpy as np

from thawline.store.bounds import Flags, worst_and_mildest
from thawline.store.one_side import OneSide
from thawline.store.tidy import Settled, Tidy, is_gap
from thawline.store.time_out import (
    Cumulative,
    Excursion,
    Exposure,
    Question,
    Totals,
    Verdict,
)

__all__ = [
    "Cumulative",
    "Excursion",
    "Exposure",
    "Question",
    "RunningExposure",
    "Totals",
    "Verdict",
    "exposure",
    "together",
]


def exposure(tidy: Tidy, question: Question) -> Exposure:
    """Return what a record says of its band."""
    running = RunningExposure(question, tidy.interval_ms, tidy.half_step_mc)
    running.add(tidy.settled)
    return running.finish()


class RunningExposure:
    """
    The same for a record that comes in blocks, in bounded memory: add each, then finish.

    Args:
        question: The band, and how far the logger may be off.
        interval_ms: The usual or stated interval; None only for a record without steps.
        half_step_mc: How far a coarse display can hide.
        listed_most: How many excursions a side names one by one; None: all. The totals
            hold every one.
    """

    def __init__(
        self,
        question: Question,
        interval_ms: int | None,
        half_step_mc: int = 0,
        listed_most: int | None = None,
    ) -> None:
        margin = question.accuracy_mc + half_step_mc
        self._half_step_mc = half_step_mc
        self._interval_ms = interval_ms or 0
        self._limits = (question.limits.above, question.limits.below)
        self._sides = tuple(OneSide(limit, margin, listed_most) for limit in self._limits)
        self._last: Settled | None = None
        self._instants = self._outside = self._undecidable = 0
        self._known_ms = self._unknown_ms = 0

    def add(self, block: Settled) -> None:
        """Take the next instants, all of them later than those before."""
        if not len(block):
            return
        self._count(block)
        joined = block if self._last is None else block.after(self._last)
        lengths = np.diff(joined.at_ms)
        gap = is_gap(lengths, self._interval_ms)
        unknown_ms = int(lengths[gap].sum()) if gap.any() else 0
        self._unknown_ms += unknown_ms
        self._known_ms += int(joined.at_ms[-1] - joined.at_ms[0]) - unknown_ms
        for side in self._sides:
            side.add(joined, lengths, gap)
        self._last = block.last(1)

    def finish(self) -> Exposure:
        """Return what all blocks together say."""
        above, below = self._sides
        listed = [*above.excursions(), *below.excursions()]
        return Exposure(
            excursions=tuple(sorted(listed, key=lambda one: one.from_ms)),
            listed_all=above.listed_all and below.listed_all,
            above=above.totals(self._unknown_ms),
            below=below.totals(self._unknown_ms),
            instants=self._instants,
            outside=self._outside,
            undecidable=self._undecidable,
            known_ms=self._known_ms,
            unknown_ms=self._unknown_ms,
        )

    def _count(self, block: Settled) -> None:
        """Count the instants, those outside, and those the display leaves open, each once."""
        outside, near = (self._beyond(block, by) for by in (0, -self._half_step_mc))
        self._instants += len(block)
        self._outside += int(np.count_nonzero(outside))
        self._undecidable += int(np.count_nonzero(near & ~outside))

    def _beyond(self, block: Settled, by_mc: int) -> Flags:
        above, below = (
            limit.is_beyond(worst_and_mildest(block, limit.side)[0], by_mc)
            for limit in self._limits
        )
        return above | below


def together(exposures: Iterable[Exposure]) -> Cumulative:
    """Return the time out of several records of the same vials that do not overlap."""
    every = list(exposures)
    return Cumulative(
        above=_sum(each.above for each in every),
        below=_sum(each.below for each in every),
        known_ms=sum(each.known_ms for each in every),
        unknown_ms=sum(each.unknown_ms for each in every),
    )


def _sum(totals: Iterable[Totals]) -> Totals:
    every = list(totals)
    return Totals(
        interpolated_ms=fsum(each.interpolated_ms for each in every),
        hold_ms=sum(each.hold_ms for each in every),
        conservative_ms=sum(each.conservative_ms for each in every),
        at_least_ms=sum(each.at_least_ms for each in every),
        at_most_ms=sum(each.at_most_ms for each in every),
        excursions=sum(each.excursions for each in every),
    )
