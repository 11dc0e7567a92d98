"""
How many chairs or tables were at work when, from the stamps of a day.

Nobody stamps that a chair closes. It was away where it had no turn for longer than a turn
takes while somebody stood in line; a chair that is idle because nobody comes is there.
"""

import math
from collections.abc import Iterator, Sequence
from datetime import timedelta
from itertools import pairwise
from statistics import median

from thawline.base.instants import Instant
from thawline.plan.service_times import LONG_TURN, Line, Turn

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
            serving[number] += not _is_away(gone, Instant(begins + number * step), step)
    return (*serving[:-1], max(serving[-1], 1))


def tables_at_work(
    draws: Sequence[Sequence[Instant]],
    line: Line,
    begins: Instant,
    step: timedelta,
    steps: int,
) -> tuple[int, ...]:
    """
    Return how many draw tables there were in each step: from first draw to last draw.

    Between two draws a table was away where it drew nothing for four times as long as the
    middle of all, while somebody stood in line. The table that drew last stays to the end.
    Without any, doses are drawn at the chairs: one.

    Args:
        draws: When doses were drawn at each table; none of them empty.
        line: Of the chairs.
        begins: Of the first step.
        step: Its length.
        steps: How many.
    """
    tables = [sorted(each) for each in draws]
    if not tables:
        return (1,) * steps
    gaps = [after - before for each in tables for before, after in pairwise(each)]
    longest = LONG_TURN * median(gap.total_seconds() for gap in gaps) if gaps else 0.0
    stays = max(each[-1] for each in tables)
    serving = [0] * steps
    for each in tables:
        gone = list(_pauses(each, line, timedelta(seconds=longest)))
        low, high = (each[0] - begins) // step, math.ceil((each[-1] - begins) / step)
        ends = steps if each[-1] == stays else min(max(high, low + 1), steps)
        for number in range(max(low, 0), ends):
            serving[number] += not _is_away(gone, Instant(begins + number * step), step)
    return (*serving[:-1], max(serving[-1], 1))


def _pauses(draws: Sequence[Instant], line: Line, longest: timedelta) -> Iterator[Stretch]:
    for before, after in pairwise(draws):
        if after - before > longest and line.stood(before, after, PATIENCE):
            yield before, after


def _is_away(gone: Sequence[Stretch], starts: Instant, step: timedelta) -> bool:
    """Say whether a server was away for more than half of a step."""
    return sum((_overlap(each, starts, step) for each in gone), timedelta(0)) > step / 2


def _overlap(stretch: Stretch, starts: Instant, step: timedelta) -> timedelta:
    low = starts if stretch[0] is None else max(stretch[0], starts)
    ends = Instant(starts + step)
    high = ends if stretch[1] is None else min(stretch[1], ends)
    return max(Instant(high) - low, timedelta(0))
