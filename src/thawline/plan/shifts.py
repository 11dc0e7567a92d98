"""
Shifts of people that cover what a station needs in each half hour, with a break for each.

The fewest people, exactly: every way of working a shift is a pattern, and an integer programme
chooses how many work each. See docs/background/staffing.md.
"""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from thawline.base.errors import RecordError


@dataclass(frozen=True, slots=True)
class ShiftRule:
    """
    How long a shift is and when its break may be, in half hours.

    Args:
        length: Of a shift, its break included.
        pause_from: First half hour of the shift in which the break may be, counted from 0.
        pause_until: The last one.
    """

    length: int
    pause_from: int
    pause_until: int

    def __post_init__(self) -> None:
        if not 0 <= self.pause_from <= self.pause_until < self.length:
            raise RecordError(
                f"a break from half hour {self.pause_from} to {self.pause_until} of a shift of "
                f"{self.length}",
                advice="the break lies within the shift, which is longer than nothing",
            )


@dataclass(frozen=True, slots=True)
class Shift:
    """So many people who start in a half hour of the day; None: too short for a break."""

    people: int
    starts: int
    ends: int
    pause: int | None


def shifts(needed: Sequence[int], rule: ShiftRule) -> tuple[Shift, ...]:
    """
    Return the fewest shifts that cover the people needed in each half hour.

    A day shorter than a shift is worked by shifts as long as the day.

    Raises:
        RecordError: Nobody is needed at any time.
    """
    from scipy.optimize import Bounds, LinearConstraint, milp  # noqa: PLC0415  a quarter second

    if not any(needed):
        raise RecordError("nobody is needed at any time", advice="look at the plan")
    halves = len(needed)
    patterns = _patterns(halves, rule)
    if not patterns:
        raise RecordError("no shifts cover the day", advice="make shifts shorter, or the break")
    covers = np.zeros((halves, len(patterns)))
    for column, (start, end, pause) in enumerate(patterns):
        covers[start:end, column] = 1
        if pause is not None:
            covers[pause, column] = 0
    found = milp(
        np.ones(len(patterns)),
        constraints=LinearConstraint(covers, lb=np.array(needed, dtype=float)),
        integrality=np.ones(len(patterns), dtype=np.int64),
        bounds=Bounds(lb=0),
    )
    if found.x is None:
        raise RecordError("no shifts cover the day", advice="make shifts shorter, or the break")
    counts = np.rint(found.x).astype(int).tolist()
    return tuple(
        Shift(count, *pattern) for count, pattern in zip(counts, patterns, strict=True) if count
    )


def _patterns(halves: int, rule: ShiftRule) -> list[tuple[int, int, int | None]]:
    """Return start, end and break of every shift; one too short for a break has none."""
    found: list[tuple[int, int, int | None]] = []
    for start in range(max(halves - rule.length, 0) + 1):
        end = min(start + rule.length, halves)
        if end - start <= rule.pause_from:
            found.append((start, end, None))
        found += [
            (start, end, start + pause)
            for pause in range(rule.pause_from, rule.pause_until + 1)
            if start + pause < end
        ]
    return found
