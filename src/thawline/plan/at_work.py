"""
How many chairs or tables were at work when, from the stamps of a day.

Nobody stamps that a chair closes. It was away where it had no turn for longer than a turn
takes while somebody stood in line; a chair that is idle because nobody comes is there.
"""

import math
from collections.abc import Iterator, Sequence
from datetime import timedelta

from thawline.base.instants import Instant
from thawline.plan.service_times import Line, Turn

PATIENCE = timedelta(minutes=2)
"""Nobody stands in line for longer beside a chair that is free; our own judgement."""

Stretch = tuple[Instant | None, Instant | None]
"""From one instant to another; None: from the beginning, to the end."""


def away(turns: Sequence[Turn], line: Line, longest: timedelta) -> Iterator[Stretch]:
    """
    Yield the stretches in which one server was away.

    Args:
        turns: Of that server, in order; at least one.
        line: Of the whole day.
        longest: No turn takes longer.
    """
    if line.stood(None, turns[0].began, PATIENCE):
        yield None, turns[0].began
    ends: list[Instant | None] = [*(turn.began for turn in turns[1:]), None]
    for turn, next_began in zip(turns, ends, strict=True):
        ended = turn.ended or turn.began
        too_long = next_began is None or next_began - ended > longest
        if too_long and line.stood(ended, next_began, PATIENCE):
            yield ended, next_began


def at_work(
    line: Line, longest: timedelta, begins: Instant, step: timedelta, steps: int
) -> tuple[int, ...]:
    """
    Return how many servers were there in each step of the day.

    A server counts in a step for at least half of which it was there. In the last step, which
    stands for all that is later, there is at least one.
    """
    serving = [0] * steps
    for turns in line.by_server().values():
        gone = list(away(turns, line, longest))
        for number in range(steps):
            starts = Instant(begins + number * step)
            absent = sum((_overlap(each, starts, step) for each in gone), timedelta(0))
            serving[number] += absent <= step / 2
    return (*serving[:-1], max(serving[-1], 1))


def tables_at_work(
    spans: Sequence[tuple[Instant, Instant]], begins: Instant, step: timedelta, steps: int
) -> tuple[int, ...]:
    """
    Return how many draw tables there were in each step: from first draw to last draw.

    The table that drew last stays to the end. Without any, doses are drawn at the chairs: one.
    """
    if not spans:
        return (1,) * steps
    serving = [0] * steps
    stays = max(last for _, last in spans)
    for first, last in spans:
        low, high = (first - begins) // step, math.ceil((last - begins) / step)
        ends = steps if last == stays else min(max(high, low + 1), steps)
        for number in range(max(low, 0), ends):
            serving[number] += 1
    return tuple(serving)


def _overlap(stretch: Stretch, starts: Instant, step: timedelta) -> timedelta:
    low = starts if stretch[0] is None else max(stretch[0], starts)
    ends = Instant(starts + step)
    high = ends if stretch[1] is None else min(stretch[1], ends)
    return max(Instant(high) - low, timedelta(0))
