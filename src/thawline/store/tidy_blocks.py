"""
A record put in order while it comes in blocks, in bounded memory.

It is the same order of work as for a whole record, and the same findings. Two things need the
whole record, and then it is said so: a reading that belongs before a block already passed on,
and an interval that turns out to be another than the one supposed.
"""

from collections import Counter
from dataclasses import dataclass
from itertools import accumulate, islice

import numpy as np

from thawline.store.displays import shows_thousandths, whole_fahrenheit
from thawline.store.faults import Spike, Suspicion, spikes
from thawline.store.readings import Readings, Times
from thawline.store.tidy import (
    FIRST_FEW,
    Disorder,
    Duplicate,
    Gap,
    Kind,
    Settled,
    disorder,
    gaps,
    settle,
)

STEPS_MOST = 100_000  # kinds of steps that are counted apart; a steady logger has a handful


@dataclass(frozen=True, slots=True)
class Found:
    """
    What was found on the way, as for a whole record, with long lists cut off.

    Args:
        usual_ms: The usual interval of the whole record; None without steps, or not counted.
        gaps: The first of them.
        gap_count: How many there are, and so on below.
        duplicates: The first of them.
        duplicate_count: How many.
        conflicting_count: At how many of them the readings differ.
        disorder: Readings that came late.
        spikes: The first of them.
        spike_count: How many.
        whole_fahrenheit: Whether every reading is a whole degree Fahrenheit.
        raw: How many readings there were.
        first_ms: The first instant; None without any.
        last_ms: The last one.
        needs_whole: Why the whole record is needed; empty when this is the answer.
    """

    usual_ms: int | None
    gaps: tuple[Gap, ...]
    gap_count: int
    duplicates: tuple[Duplicate, ...]
    duplicate_count: int
    conflicting_count: int
    disorder: Disorder
    spikes: tuple[Spike, ...]
    spike_count: int
    whole_fahrenheit: bool
    raw: int
    first_ms: int | None
    last_ms: int | None
    needs_whole: str


class RunningTidy:
    """
    Blocks in, instants in order out; the last instant waits for the next block.

    Args:
        interval_ms: As stated, or as the first block shows it; None with fewer than two
            readings.
        listed_most: How many gaps, duplicates and spikes are named one by one; None: all.
    """

    def __init__(self, interval_ms: int | None, listed_most: int | None = None) -> None:
        self._interval_ms = interval_ms
        self._listed_most = listed_most
        self._waiting = _none()
        self._passed = _settled_none()
        self._steps: Counter[int] = Counter()
        self._gaps: list[Gap] = []
        self._duplicates: list[Duplicate] = []
        self._spikes: dict[tuple[int, int], Spike] = {}
        self._counts: Counter[str] = Counter()
        self._late = Disorder(0, ())
        self._first_ms: int | None = None
        self._latest_ms: int | None = None
        self._fahrenheit, self._thousandths = True, False
        self.needs_whole = ""

    def add(self, block: Readings) -> Settled:
        """Return the instants that the next readings settle, later than all before."""
        if not len(block):
            return _settled_none()
        raw = Readings(
            np.concatenate([self._waiting.at_ms, block.at_ms]),
            np.concatenate([self._waiting.temp_mc, block.temp_mc]),
        )
        steady = bool((raw.at_ms[1:] > raw.at_ms[:-1]).all())
        self._count(block, steady=steady)
        first = raw.at_ms[0] if steady else raw.at_ms.min()
        if len(self._passed) and first <= self._passed.at_ms[-1]:
            self.needs_whole = "readings are out of order by more than a block"
            return _settled_none()
        if steady:
            self._waiting = Readings(raw.at_ms[-1:], raw.temp_mc[-1:])
            return self._look_around(_alone(Readings(raw.at_ms[:-1], raw.temp_mc[:-1])))
        last = raw.at_ms == raw.at_ms.max()
        self._waiting = Readings(raw.at_ms[last], raw.temp_mc[last])
        return self._settled(Readings(raw.at_ms[~last], raw.temp_mc[~last]))

    def finish(self) -> tuple[Settled, Found]:
        """Return the instant that was still waiting, and what was found in all."""
        rest = self._settled(self._waiting)
        return rest, Found(
            usual_ms=self._usual_ms(),
            gaps=tuple(self._gaps),
            gap_count=self._counts["gaps"],
            duplicates=tuple(self._duplicates),
            duplicate_count=self._counts["duplicates"],
            conflicting_count=self._counts["conflicting"],
            disorder=self._late,
            spikes=tuple(spike for _, spike in sorted(self._spikes.items())),
            spike_count=self._counts["spikes"],
            whole_fahrenheit=self._fahrenheit and self._thousandths,
            raw=self._counts["raw"],
            first_ms=self._first_ms,
            last_ms=self._latest_ms,
            needs_whole=self.needs_whole,
        )

    def _count(self, block: Readings, *, steady: bool) -> None:
        """Count the readings, those that came late, and what the display shows."""
        if not steady:
            self._count_late(block)
        latest = int(block.at_ms.max())
        self._latest_ms = latest if self._latest_ms is None else max(self._latest_ms, latest)
        self._counts["raw"] += len(block)
        # Tenths of a degree give themselves away within a few readings.
        self._fahrenheit &= bool(whole_fahrenheit(block.temp_mc[:FIRST_FEW]).all())
        if self._fahrenheit:
            self._fahrenheit = bool(whole_fahrenheit(block.temp_mc).all())
            self._thousandths |= bool(shows_thousandths(block.temp_mc).any())

    def _count_late(self, block: Readings) -> None:
        before = [] if self._latest_ms is None else [self._latest_ms]
        late = disorder(np.concatenate([np.array(before, dtype=np.int64), block.at_ms]))
        places = [at - len(before) + self._counts["raw"] for at in late.first]
        first = (*self._late.first, *places)[:FIRST_FEW]
        self._late = Disorder(self._late.count + late.count, first)

    def _settled(self, raw: Readings) -> Settled:
        found, duplicates = settle(raw)
        self._counts["duplicates"] += len(duplicates)
        self._counts["conflicting"] += sum(each.kind is Kind.CONFLICTING for each in duplicates)
        self._duplicates += islice(duplicates, self._room(len(self._duplicates)))
        return self._look_around(found)

    def _look_around(self, found: Settled) -> Settled:
        """Note steps, gaps and suspected faults, with the two instants before in view."""
        if not len(found):
            return found
        if self._first_ms is None:
            self._first_ms = int(found.at_ms[0])
        joined = found.after(self._passed)
        self._note_spikes(joined, int(found.at_ms[0]))
        beginning = joined.last(len(found) + 1).at_ms
        self._add_steps(beginning)
        between = gaps(beginning, self._interval_ms)
        self._counts["gaps"] += len(between)
        self._gaps += islice(between, self._room(len(self._gaps)))
        self._passed = joined.last(2)
        return found

    def _note_spikes(self, joined: Settled, first_ms: int) -> None:
        """Note suspected faults; of the instants seen before only what the next one showed."""
        seen = spikes(joined.at_ms, joined.warmest_mc, joined.coldest_mc)
        before = int(self._passed.at_ms[-1]) if len(self._passed) else None
        for spike in seen:
            shown_now = spike.at_ms == before and spike.why is Suspicion.TOO_FAST
            if spike.at_ms >= first_ms or shown_now:
                self._counts["spikes"] += 1
                if self._room(len(self._spikes)) != 0:
                    self._spikes[spike.at_ms, spike.temp_mc] = spike

    def _add_steps(self, at_ms: Times) -> None:
        lengths = np.diff(at_ms)
        others = lengths[lengths != self._interval_ms]
        if len(lengths) > len(others) and self._interval_ms is not None:
            self._steps[self._interval_ms] += len(lengths) - len(others)
        if len(others):
            kinds, counts = np.unique(others, return_counts=True)
            self._steps.update(dict(zip(kinds.tolist(), counts.tolist(), strict=True)))
        if len(self._steps) > STEPS_MOST:
            self.needs_whole = "hardly two steps between readings are alike"

    def _usual_ms(self) -> int | None:
        """Return the middle step, the shorter of two, as for a whole record."""
        kinds = sorted(self._steps)
        middle = (self._steps.total() + 1) // 2
        reached = accumulate(self._steps[kind] for kind in kinds)
        return next((k for k, n in zip(kinds, reached, strict=True) if n >= middle), None)

    def _room(self, listed: int) -> int | None:
        return None if self._listed_most is None else max(self._listed_most - listed, 0)


def _alone(raw: Readings) -> Settled:
    """Return readings that are alone at their instants, in order already."""
    return Settled(raw.at_ms, raw.temp_mc, raw.temp_mc, raw.temp_mc.astype(np.float64))


def _none() -> Readings:
    return Readings(np.zeros(0, dtype=np.int64), np.zeros(0, dtype=np.int32))


def _settled_none() -> Settled:
    return _alone(_none())
