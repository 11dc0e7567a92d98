"""
The time out on one side of a band, added up block by block and exact to the end.

Lengths are whole milliseconds. What a straight line cuts off a step is a fraction; fractions
are kept by their denominator and turned into a number once, when everything is in.
"""

from collections import Counter
from dataclasses import dataclass, replace
from fractions import Fraction
from itertools import islice
from math import fsum

import numpy as np
from numpy.typing import NDArray

from thawline.rules.cold import Side
from thawline.store.bounds import Flags, worst_and_mildest
from thawline.store.limits import Excess, Limit
from thawline.store.readings import Temperatures, Times
from thawline.store.tidy import Settled
from thawline.store.time_out import Excursion, Totals

Places = NDArray[np.intp]
"""Where in a block, counted from 0."""


@dataclass(frozen=True, slots=True, eq=False)
class _Block:
    """The steps of one block as this side sees them; instants are one more than steps."""

    limit: Limit
    at_ms: Times
    temps_mc: Temperatures
    lengths: Times
    gap: Flags

    def excess_at(self, place: int) -> int:
        """Return how far one instant lies beyond the limit."""
        beyond = int(self.temps_mc[place]) - self.limit.at_mc
        return beyond if self.limit.side is Side.ABOVE else -beyond

    def excess(self, places: Places) -> Excess:
        """Return how far the instants at some places lie beyond the limit."""
        return self.limit.excess(self.temps_mc[places])


class OneSide:
    """
    One side of a band: above or below.

    Args:
        limit: The last temperature that is still in.
        margin_mc: How far the truth may lie from a reading, either way.
        listed_most: How many excursions are named one by one; None: all.
    """

    def __init__(self, limit: Limit, margin_mc: int, listed_most: int | None) -> None:
        self._limit = limit
        self._margin_mc = margin_mc
        self._listed_most = listed_most
        self._listed: list[Excursion] = []
        self._open: Excursion | None = None
        self._hold_ms = self._conservative_ms = 0
        self._at_least_ms = self._perhaps_ms = self._whole_ms = 0
        self._parts: Counter[int] = Counter()
        self._count = 0
        self.listed_all = True

    def add(self, joined: Settled, lengths: Times, gap: Flags) -> None:
        """
        Take the next steps.

        Args:
            joined: The instants, with the last one of the block before in front.
            lengths: shape (len(joined) - 1,), milliseconds.
            gap: Which of the steps are gaps.
        """
        worst, mildest = worst_and_mildest(joined, self._limit.side)
        near = self._limit.is_beyond(worst, -self._margin_mc)
        if not near.any():
            return
        block = _Block(self._limit, joined.at_ms, worst, lengths, gap)
        # Most of a good record is far from the limit: only steps with an end near it count.
        steps = np.flatnonzero((near[:-1] | near[1:]) & ~gap)
        self._add_bounds(steps, mildest, lengths)
        self._add_totals(steps, block)
        self._add_excursions(np.flatnonzero(self._limit.is_beyond(worst)), block)

    def excursions(self) -> list[Excursion]:
        """Return the excursions, earliest first, when everything is in."""
        if self._open is not None:
            self._list([self._open])
            self._open = None
        return list(self._listed)

    def totals(self, unknown_ms: int) -> Totals:
        """Return the time out, with the time in gaps added to what it was at most."""
        parts = fsum(part / whole for whole, part in sorted(self._parts.items()))
        return Totals(
            interpolated_ms=self._whole_ms + parts,
            hold_ms=self._hold_ms,
            conservative_ms=self._conservative_ms,
            at_least_ms=self._at_least_ms,
            at_most_ms=self._perhaps_ms + unknown_ms,
            excursions=self._count,
        )

    def _add_bounds(self, steps: Places, mildest: Temperatures, lengths: Times) -> None:
        first, second = mildest[steps], mildest[steps + 1]
        certain = self._limit.is_beyond(first, self._margin_mc)
        certain &= self._limit.is_beyond(second, self._margin_mc)
        self._at_least_ms += int(lengths[steps[certain]].sum())
        self._perhaps_ms += int(lengths[steps].sum())

    def _add_totals(self, steps: Places, block: _Block) -> None:
        before, after = block.excess(steps), block.excess(steps + 1)
        lengths = block.lengths[steps]
        both, either = (before > 0) & (after > 0), (before > 0) | (after > 0)
        self._hold_ms += int(lengths[before > 0].sum())
        self._conservative_ms += int(lengths[either].sum())
        self._whole_ms += int(lengths[both].sum())
        cut = either & ~both
        self._add_cut_steps(lengths[cut], before[cut], after[cut])

    def _add_cut_steps(self, lengths: Times, before: Excess, after: Excess) -> None:
        """Add the parts outside of steps that cross the limit: whole ms, and the rest."""
        apart = np.abs(after - before)
        outside = lengths * np.maximum(before, after)
        self._whole_ms += int((outside // apart).sum())
        kinds, which = np.unique(apart, return_inverse=True)
        sums = np.zeros(len(kinds), dtype=np.int64)
        np.add.at(sums, which, outside % apart)
        self._parts.update(dict(zip(kinds.tolist(), sums.tolist(), strict=True)))

    def _add_excursions(self, out: Places, block: _Block) -> None:
        """Name the runs of readings outside; one that reaches the end stays open."""
        if not len(out):
            return
        parted = (np.diff(out) > 1) | block.gap[out[:-1]]
        starts = out[np.concatenate([[True], parted])]
        ends = out[np.concatenate([parted, [True]])]
        if self._open is not None:
            piece = self._excursion(block, int(starts[0]), int(ends[0]))
            self._open = _lengthened(self._open, piece)
            if ends[0] < len(block.lengths):
                self._list([self._open])
                self._open = None
            starts, ends = starts[1:], ends[1:]
        self._count += len(starts)
        ended = ends < len(block.lengths)
        room = len(ends) if self._listed_most is None else self._listed_most - len(self._listed)
        runs = zip(starts[ended].tolist(), ends[ended].tolist(), strict=True)
        # One more than there is room for, so that it is seen that one was left out.
        self._list([self._excursion(block, *run) for run in islice(runs, max(room, 0) + 1)])
        if len(ended) and not ended[-1]:
            self._open = self._excursion(block, int(starts[-1]), int(ends[-1]))

    def _list(self, found: list[Excursion]) -> None:
        room = len(found)
        if self._listed_most is not None:
            room = self._listed_most - len(self._listed)
        self._listed += found[: max(room, 0)]
        self.listed_all = self.listed_all and len(found) <= room

    def _excursion(self, block: _Block, first: int, last: int) -> Excursion:
        """Return the excursion of the instants first to last, with a cut step at each end."""
        inside = int(block.at_ms[last] - block.at_ms[first])
        entry = _cut_step(block, first - 1) if first else _NOTHING
        leaving = _cut_step(block, last) if last < len(block.lengths) else _NOTHING
        run = block.temps_mc[first : last + 1]
        extreme = run.max() if self._limit.side is Side.ABOVE else run.min()
        return Excursion(
            side=self._limit.side,
            from_ms=int(block.at_ms[first]),
            to_ms=int(block.at_ms[last]),
            readings=last - first + 1,
            extreme_mc=int(extreme),
            interpolated_ms=inside + entry[1] + leaving[1],
            hold_ms=inside + leaving[0],
            conservative_ms=inside + entry[0] + leaving[0],
        )


_NOTHING = (0, Fraction(0))


def _cut_step(block: _Block, step: int) -> tuple[int, Fraction]:
    """Return how long a step across the limit is, and the part of it outside; 0 for a gap."""
    if block.gap[step]:
        return _NOTHING
    length = int(block.lengths[step])
    before, after = (block.excess_at(place) for place in (step, step + 1))
    return length, Fraction(length * max(before, after), abs(after - before))


def _lengthened(so_far: Excursion, piece: Excursion) -> Excursion:
    """Return the excursion with its next piece, which begins with its last reading."""
    above = so_far.side is Side.ABOVE
    return replace(
        so_far,
        to_ms=piece.to_ms,
        readings=so_far.readings + piece.readings - 1,
        extreme_mc=(max if above else min)(so_far.extreme_mc, piece.extreme_mc),
        interpolated_ms=so_far.interpolated_ms + piece.interpolated_ms,
        hold_ms=so_far.hold_ms + piece.hold_ms,
        conservative_ms=so_far.conservative_ms + piece.conservative_ms,
    )
