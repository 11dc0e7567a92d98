"""True courses of temperature, known at every instant, and what a logger writes of them."""

from dataclasses import dataclass
from itertools import pairwise

import numpy as np
from tests.store.records import MINUTE

from thawline.store.readings import Readings, readings

Points = list[tuple[int, float]]
"""Corners of a course of straight lines: instant in ms, thousandths of a degree."""


def time_out(course: Points, high_mc: float, low_mc: float) -> tuple[float, float]:
    """Return how long a course of straight lines was above and below, in ms, by geometry."""
    above = sum(_beyond(one, two, high_mc) for one, two in pairwise(course))
    flipped = [(at, -temp) for at, temp in course]
    return above, sum(_beyond(one, two, -low_mc) for one, two in pairwise(flipped))


def _beyond(one, two, limit):
    (t0, v0), (t1, v1) = one, two
    if v0 <= limit and v1 <= limit:
        return 0.0
    if v0 > limit and v1 > limit:
        return float(t1 - t0)
    return (t1 - t0) * (max(v0, v1) - limit) / abs(v1 - v0)


@dataclass(frozen=True)
class Generated:
    """A record with its truth."""

    raw: Readings
    course: Points
    interval_ms: int


def generated(seed: int, accuracy_mc: int) -> Generated:
    """
    Return a record of a fridge that drifts out now and then, read with an error and with gaps.

    The course turns at readings, and anywhere at all inside gaps.
    """
    dice = np.random.default_rng(seed)
    interval = int(dice.choice([1, 5, 10, 15])) * MINUTE
    count = int(dice.integers(20, 120))
    at = np.arange(count) * interval + 1_770_000_000_000
    drift = np.cumsum(dice.normal(0, dice.choice([200, 600, 1500]), count))
    temps = np.round(dice.integers(2_000, 8_001) + drift - 0.1 * drift.mean())
    kept = np.ones(count, dtype=bool)
    for _ in range(int(dice.integers(0, 4))):
        first = int(dice.integers(1, count - 6))
        kept[first : first + int(dice.integers(1, 5))] = False
    errors = np.round(dice.uniform(-accuracy_mc, accuracy_mc, count))
    raw = readings(at[kept], (temps + errors)[kept])
    return Generated(raw, _with_wild_gaps(at, temps, kept, dice), interval)


def _with_wild_gaps(at, temps, kept, dice):
    """Give the time without readings a course of its own, as wild as it likes."""
    course = []
    for place, (when, temp) in enumerate(zip(at.tolist(), temps.tolist(), strict=True)):
        if kept[place]:
            course.append((when, temp))
        else:
            course += [
                (when + shift, float(dice.uniform(-30_000, 40_000)))
                for shift in sorted(dice.integers(-20_000, 20_000, 3).tolist())
            ]
    return course
