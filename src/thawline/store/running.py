"""
Everything a record says, folded while it comes in blocks: start, add each, finish.

It equals what the whole record says, unless `Found.needs_whole` says why it could not.
"""

from dataclasses import dataclass

from thawline.store.exposure import Exposure, Question, RunningExposure
from thawline.store.kinetic import Description, RunningDescription
from thawline.store.readings import Readings
from thawline.store.tidy import Settled
from thawline.store.tidy_blocks import Found, RunningTidy


@dataclass(frozen=True, slots=True)
class Answer:
    """
    What a record says.

    Args:
        exposure: How long it was out, and what is not known.
        description: Coldest, mean and warmest; clears nothing.
        found: Gaps, duplicates, disorder, suspected faults.
    """

    exposure: Exposure
    description: Description
    found: Found


class RunningRecord:
    """
    A record that comes in blocks.

    Args:
        question: The band, and how far the logger may be off.
        interval_ms: As stated or supposed; None with fewer than two readings.
        half_step_mc: How far a coarse display can hide.
        listed_most: How many of each kind of finding are named one by one; None: all.
    """

    def __init__(
        self,
        question: Question,
        interval_ms: int | None,
        half_step_mc: int = 0,
        listed_most: int | None = None,
    ) -> None:
        self._tidy = RunningTidy(interval_ms, listed_most)
        self._exposure = RunningExposure(question, interval_ms, half_step_mc, listed_most)
        self._description = RunningDescription(interval_ms)

    @property
    def needs_whole(self) -> str:
        """Why blocks cannot answer for the whole record; empty while they can."""
        return self._tidy.needs_whole

    def add(self, block: Readings) -> None:
        """Take the next readings, in the order they were written."""
        self._fold(self._tidy.add(block))

    def finish(self, activation_energy_kj_per_mol: float | None) -> Answer:
        """Return what all blocks together say; the energy is the protocol's, None without."""
        rest, found = self._tidy.finish()
        self._fold(rest)
        return Answer(
            self._exposure.finish(),
            self._description.finish(activation_energy_kj_per_mol),
            found,
        )

    def _fold(self, settled: Settled) -> None:
        self._exposure.add(settled)
        self._description.add(settled)
