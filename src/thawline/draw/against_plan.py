"""
Doses against plan: how many were given by each time, in all, beside how many were planned.

A bar to the doses given; the plan is a post on the same scale, so that being behind shows as
a gap before it.
"""

from collections.abc import Sequence
from dataclasses import dataclass

_WIDTH = 50
_DONE, _PLAN = "=", "|"
_NICE = (1, 2, 5)
_MARK_EVERY = 10


@dataclass(frozen=True, slots=True)
class SoFar:
    """Doses given and planned until a time of day, in all; `planned` None: no plan for it."""

    by: str  # as people say it, 13:00
    given: int
    planned: int | None


def against_plan(rows: Sequence[SoFar]) -> tuple[str, ...]:
    """Return the lines of the picture: a head with the scale, then one line a time."""
    most = max((max(row.given, row.planned or 0) for row in rows), default=0)
    step = _step(most)
    head = f"{'by':<5} {'given':>6} {'plan':>6}  {_scale(step, most)}"
    return (head, *(_line(row, step) for row in rows))


def _line(row: SoFar, step: int) -> str:
    planned = "-" if row.planned is None else f"{row.planned:,}"
    return f"{row.by:<5} {row.given:>6,} {planned:>6}  {_bar(row, step)}"


def _bar(row: SoFar, step: int) -> str:
    bar = list((_DONE * (row.given // step)).ljust(_WIDTH + 1))
    if row.planned is not None:
        bar[row.planned // step] = _PLAN
    return "".join(bar).rstrip()


def _scale(step: int, most: int) -> str:
    """Return the numbers above the bars, every ten columns."""
    marks = range(0, most // step + 1, _MARK_EVERY)
    return "".join(f"{mark * step:<{_MARK_EVERY},}" for mark in marks).rstrip()


def _step(most: int) -> int:
    """Return how many doses one column stands for: 1, 2, 5, 10, 20, 50 and so on."""
    power = 1
    while True:
        for nice in _NICE:
            if nice * power * _WIDTH >= most:
                return nice * power
        power *= 10
