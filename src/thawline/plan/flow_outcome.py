"""
What simulated clinic days come to: figures of each day, means with their error, when to stop.

A mean over simulated days is off from the mean over all possible days by chance; its standard
error says how far, and stands beside it with the seed and the number of days.
"""

import math
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from itertools import pairwise

import numpy as np

from thawline.base.compiled import Values
from thawline.base.errors import RecordError
from thawline.plan.flow_kernel import (
    CAME,
    COLUMNS,
    FINISH,
    PEAK,
    STAY,
    UNSERVED,
    VIALS,
    WASTED,
)
from thawline.plan.general_flow_kernel import LATE, PEOPLE

FIGURES = {
    "people who came": CAME,
    "people without a dose": UNSERVED,
    "doses wasted": WASTED,
    "vials opened": VIALS,
    "stay in seconds": STAY,
    "most under observation": PEAK,
    "finish in seconds": FINISH,
}


@dataclass(frozen=True, slots=True)
class Estimate:
    """A mean over simulated days and its standard error; None from a single day."""

    mean: float
    error: float | None
    days: int


@dataclass(frozen=True, slots=True, eq=False)
class Outcome:
    """
    What so many days came to.

    Args:
        stations: Their names, in order.
        seed: Of the random words.
        first: Number of the first day.
        figures: shape (days, 7 + 2 * stations): `FIGURES`, then each station's mean wait and
            longest wait, in seconds.
        by_time: None, or shape (days, stations + 1, half hours, 4): people who came to a
            station in that half hour, sum of their waits in seconds, waits longer than
            promised, turns begun. The door is last: by when people came, waits at all
            stations together.
        peaks: None, or shape (days, half hours): most people under observation.
    """

    stations: tuple[str, ...]
    seed: int
    first: int
    figures: Values
    by_time: Values | None = None
    peaks: Values | None = None

    @property
    def days(self) -> int:
        """Return how many days there are."""
        return len(self.figures)

    def daily(self, figure: str) -> Values:
        """Return a figure of each day, by its name in `FIGURES`."""
        return self.figures[:, FIGURES[figure]]

    def mean_wait_s(self, station: str) -> Values:
        """Return the mean wait at a station, in seconds, of each day."""
        return self.figures[:, COLUMNS + 2 * self.stations.index(station)]

    def longest_wait_s(self, station: str) -> Values:
        """Return the longest wait at a station, in seconds, of each day."""
        return self.figures[:, COLUMNS + 2 * self.stations.index(station) + 1]

    def late_shares(self, station: str | None = None) -> Values:
        """
        Return the share of people who waited longer than promised, of each day.

        At a station, or without one at all of them together; 0 on a day on which nobody came.

        Raises:
            RecordError: The days were played without following each person.
        """
        if self.by_time is None:
            raise RecordError(
                "waits were not counted", advice="play these days with `followed_days`"
            )
        place = len(self.stations) if station is None else self.stations.index(station)
        people, late = (self.by_time[:, place, :, k].sum(axis=1) for k in (PEOPLE, LATE))
        return np.asarray(late / np.maximum(people, 1), np.float64)


def estimate(daily: Values) -> Estimate:
    """Return the mean of a figure over its days, with its error."""
    days = len(daily)
    error = float(daily.std(ddof=1)) / math.sqrt(days) if days > 1 else None
    return Estimate(float(daily.mean()), error, days)


def joined(parts: Sequence[Outcome]) -> Outcome:
    """Return blocks of days as one; each begins where the one before ends."""
    begin = parts[0]
    for before, after in pairwise(parts):
        if after.seed != before.seed or after.first != before.first + before.days:
            raise RecordError(
                f"day {after.first} of seed {after.seed} does not follow",
                advice="join blocks of one run in their order",
            )
    return Outcome(
        begin.stations, begin.seed, begin.first,
        np.concatenate([part.figures for part in parts]),
        _stacked([part.by_time for part in parts]),
        _stacked([part.peaks for part in parts]),
    )  # fmt: skip


def _stacked(parts: Sequence[Values | None]) -> Values | None:
    there = [part for part in parts if part is not None]
    return np.concatenate(there) if there else None


@dataclass(frozen=True, slots=True)
class Precision:
    """
    When a mean is known well enough.

    Args:
        figure: Its name in `FIGURES`.
        error: The standard error wanted, in the figure's unit.
        least: Days that are played in any case; an error from fewer says little.
    """

    figure: str
    error: float
    least: int

    def __post_init__(self) -> None:
        if self.figure not in FIGURES:
            raise RecordError(f"no figure {self.figure!r}", advice=", ".join(FIGURES))
        if not 0 < self.error < math.inf:
            raise RecordError(f"an error of {self.error}", advice="more than 0")
        if self.least < 2:  # noqa: PLR2004  one day has no error
            raise RecordError(f"at least {self.least} days", advice="2 or more")

    def reached(self, daily: Values) -> bool:
        """Say whether the figure of each day so far is enough."""
        error = estimate(daily).error
        return len(daily) >= self.least and error is not None and error <= self.error


def until_precise(blocks: Iterable[Outcome], wanted: Precision) -> Outcome:
    """
    Return the days of as many blocks as it takes, in order; all where that is not enough.

    How blocks came about, one by one or side by side, changes nothing.

    Raises:
        RecordError: There is no block.
    """
    taken: list[Outcome] = []
    daily = np.zeros(0)
    for block in blocks:
        taken.append(block)
        daily = np.append(daily, block.daily(wanted.figure))
        if wanted.reached(daily):
            break
    if not taken:
        raise RecordError("no days were played", advice="play at least one block of days")
    return joined(taken)
