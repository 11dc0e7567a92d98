"""
A record put in order before anything is concluded from it, with nothing lost.

The order of work is fixed: order in time, readings of the same instant, the usual interval,
gaps, suspected faults, coarse displays. Each thing that was found is told; no reading is
deleted and none is made up. A gap is not known: never good, never bridged.
docs/background/exposure.md has the whole of it.
"""

from dataclasses import dataclass
from enum import StrEnum

import numpy as np
from numpy.typing import NDArray

from thawline.store.displays import half_step_mc
from thawline.store.faults import Spike, spikes
from thawline.store.readings import Readings, Temperatures, Times

Averages = NDArray[np.float64]
"""Thousandths of a degree Celsius, with halves and thirds where readings contradict."""

FIRST_FEW = 20  # places of disorder that are named one by one; the number tells of the rest


class Kind(StrEnum):
    """What two readings of the same instant say about each other."""

    SAME = "same"
    CONFLICTING = "conflicting"


@dataclass(frozen=True, slots=True)
class Duplicate:
    """Several readings of one instant; all their values as they were read, in that order."""

    at_ms: int
    kind: Kind
    temps_mc: tuple[int, ...]


@dataclass(frozen=True, slots=True)
class Gap:
    """A time without readings, longer than one and a half intervals; nothing is known of it."""

    from_ms: int
    to_ms: int
    missing: int  # readings that would have fitted between the two ends


@dataclass(frozen=True, slots=True)
class Disorder:
    """
    Readings that stand after a later one.

    Args:
        count: How many.
        first: The first of them, as places in the record counted from 0.
    """

    count: int
    first: tuple[int, ...]


@dataclass(frozen=True, slots=True, eq=False)
class Settled:
    """
    One entry for each instant, earliest first; all arrays have shape (n,).

    Where readings of an instant contradict each other, the warmest counts on the warm side, the
    coldest on the cold side, and their average in a mean.
    """

    at_ms: Times
    warmest_mc: Temperatures
    coldest_mc: Temperatures
    average_mc: Averages

    def __len__(self) -> int:
        return len(self.at_ms)

    @property
    def agrees(self) -> bool:
        """Whether no two readings of an instant contradict each other, known at a glance."""
        return self.warmest_mc is self.coldest_mc

    def after(self, before: "Settled") -> "Settled":
        """Return these instants with earlier ones in front."""
        warmest = np.concatenate([before.warmest_mc, self.warmest_mc])
        alike = self.agrees and before.agrees
        return Settled(
            np.concatenate([before.at_ms, self.at_ms]),
            warmest,
            warmest if alike else np.concatenate([before.coldest_mc, self.coldest_mc]),
            np.concatenate([before.average_mc, self.average_mc]),
        )

    def last(self, count: int) -> "Settled":
        """Return the last few instants, or all if there are fewer."""
        first = max(len(self) - count, 0)
        warmest = self.warmest_mc[first:]
        coldest = warmest if self.agrees else self.coldest_mc[first:]
        return Settled(self.at_ms[first:], warmest, coldest, self.average_mc[first:])


@dataclass(frozen=True, slots=True, eq=False)
class Tidy:
    """
    A record in order, and everything that was found on the way.

    Args:
        settled: One entry for each instant.
        interval_ms: The usual or stated interval; None with fewer than two instants.
        gaps: Earliest first.
        duplicates: Earliest first.
        disorder: Readings that came late.
        spikes: Suspected faults, which stay excursions until a person says otherwise.
        half_step_mc: How far a coarse display can hide; 0 where it is not coarse.
        raw: How many readings there were before.
    """

    settled: Settled
    interval_ms: int | None
    gaps: tuple[Gap, ...]
    duplicates: tuple[Duplicate, ...]
    disorder: Disorder
    spikes: tuple[Spike, ...]
    half_step_mc: int
    raw: int


def tidied(raw: Readings, interval_ms: int | None = None, step_mc: int | None = None) -> Tidy:
    """
    Return the record in order, with what was found.

    Args:
        raw: As read; any order.
        interval_ms: As the header or a person states it; None: the usual step.
        step_mc: The smallest step that the display shows, where the file tells; None: whole
            degrees Fahrenheit are noticed from the readings themselves.
    """
    settled, duplicates = settle(raw)
    interval = usual_interval(settled.at_ms) if interval_ms is None else interval_ms
    return Tidy(
        settled=settled,
        interval_ms=interval,
        gaps=gaps(settled.at_ms, interval),
        duplicates=duplicates,
        disorder=disorder(raw.at_ms),
        spikes=spikes(settled.at_ms, settled.warmest_mc, settled.coldest_mc),
        half_step_mc=half_step_mc(raw.temp_mc, step_mc),
        raw=len(raw),
    )


def disorder(at_ms: Times) -> Disorder:
    """Return how many readings stand after a later one, and the first of them."""
    if len(at_ms) == 0:
        return Disorder(0, ())
    late = np.flatnonzero(at_ms < np.maximum.accumulate(at_ms))
    return Disorder(len(late), tuple(late[:FIRST_FEW].tolist()))


def settle(raw: Readings) -> tuple[Settled, tuple[Duplicate, ...]]:
    """Return one entry for each instant, earliest first, and those read more than once."""
    at, temp = _in_order(raw)
    new = np.ones(len(at), dtype=bool)
    np.not_equal(at[1:], at[:-1], out=new[1:])
    if new.all():
        return Settled(at, temp, temp, temp.astype(np.float64)), ()
    starts = np.flatnonzero(new)
    warmest = np.maximum.reduceat(temp, starts)
    coldest = np.minimum.reduceat(temp, starts)
    average = warmest.astype(np.float64)
    duplicates = []
    ends = np.append(starts[1:], len(at))
    for place in np.flatnonzero(ends - starts > 1).tolist():
        values = tuple(temp[starts[place] : ends[place]].tolist())
        distinct = set(values)
        average[place] = sum(distinct) / len(distinct)
        kind = Kind.SAME if len(distinct) == 1 else Kind.CONFLICTING
        duplicates.append(Duplicate(int(at[starts[place]]), kind, values))
    return Settled(at[starts], warmest, coldest, average), tuple(duplicates)


def usual_interval(at_ms: Times) -> int | None:
    """
    Return the middle one of the steps between instants, the shorter of two; None without steps.

    The shorter one, because an interval taken too long would hide gaps.
    """
    steps = np.sort(np.diff(at_ms))
    return int(steps[(len(steps) - 1) // 2]) if len(steps) else None


def is_gap(steps_ms: Times, interval_ms: int) -> NDArray[np.bool_]:
    """Say for each step whether it is longer than one and a half intervals."""
    return steps_ms > interval_ms * _THREE // 2


def gaps(at_ms: Times, interval_ms: int | None) -> tuple[Gap, ...]:
    """Return the times in order that are longer than one and a half intervals."""
    if interval_ms is None:
        return ()
    steps = np.diff(at_ms)
    return tuple(
        Gap(int(at_ms[i]), int(at_ms[i + 1]), _missing(int(steps[i]), interval_ms))
        for i in np.flatnonzero(is_gap(steps, interval_ms)).tolist()
    )


# Three halves of the interval, cut off: the same for whole milliseconds. Source: the
# order of work of the project's cold-chain notes, 7.1 [common practice].
_THREE = 3


def _missing(step_ms: int, interval_ms: int) -> int:
    """Return how many readings would have fitted in, at least one: a gap lacks something."""
    return max(1, (step_ms * 2 + interval_ms) // (interval_ms * 2) - 1)


def _in_order(raw: Readings) -> tuple[Times, Temperatures]:
    if np.all(raw.at_ms[1:] >= raw.at_ms[:-1]):
        return raw.at_ms, raw.temp_mc
    order = np.argsort(raw.at_ms, kind="stable")
    return raw.at_ms[order], raw.temp_mc[order]
