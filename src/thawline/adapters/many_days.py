"""
Many simulated days side by side on the cores of this machine, in blocks, in order.

Days do not know each other, so the answer has the same bits on one core and on several. When
the user stops the run, what is finished by then counts.
"""

import os
from collections.abc import Callable, Iterator, Sequence
from concurrent.futures import ThreadPoolExecutor
from itertools import islice
from typing import TypeVar

import numpy as np

from thawline.plan.flow_outcome import Outcome, Precision, joined, until_precise
from thawline.plan.ranking import PlaySome
from thawline.plan.same_days import Late

BLOCK = 200  # days in a block: some 50 ms of compiled code, so a stop is answered at once
_AT_ONCE = 500  # days, all staffings counted, in a block: some 200 ms of compiled code
Days = Callable[[int, int], Outcome]  # number of the first day, and how many
T = TypeVar("T")


def blocks(play: Callable[[int, int], T], days: int, cores: int | None = None) -> Iterator[T]:
    """Yield the outcomes of so many days, a block at a time, in order."""
    cores = cores or os.cpu_count() or 1
    todo = iter([(at, min(BLOCK, days - at)) for at in range(0, days, BLOCK)])
    with ThreadPoolExecutor(cores) as pool:
        waiting = [pool.submit(play, *block) for block in islice(todo, 2 * cores)]
        try:
            while waiting:
                outcome = waiting.pop(0).result()
                waiting += [pool.submit(play, *block) for block in islice(todo, 1)]
                yield outcome
        finally:
            for future in waiting:
                future.cancel()


def played(play: Days, most: int, wanted: Precision, told: Callable[[int], None]) -> Outcome:
    """
    Return days enough for a precision, or the most that are allowed.

    After an interrupt (Ctrl-C) the days finished by then; before any is, it goes on to the
    caller.

    Args:
        play: Plays days, as `clinic_days` does: from that number on, so many.
        most: Days at the most.
        wanted: When it is enough.
        told: Is told how many days are finished, after each block.
    """
    finished: list[Outcome] = []

    def counted() -> Iterator[Outcome]:
        for block in blocks(play, most):
            finished.append(block)
            told(sum(part.days for part in finished))
            yield block

    try:
        return until_precise(counted(), wanted)
    except KeyboardInterrupt:
        if not finished:
            raise
        return joined(finished)


def side_by_side(
    play: PlaySome, told: Callable[[int, int], None], cores: int | None = None
) -> PlaySome:
    """
    Return what plays many staffings on the same days, some days on each core at a time.

    Args:
        play: Plays some of them on some days.
        told: Is told how many of the days asked for are finished, and how many they are.
        cores: How many; None: all there are.
    """
    cores = cores or os.cpu_count() or 1

    def divided(numbers: Sequence[int], first: int, days: int) -> Late:
        size = min(max(_AT_ONCE // len(numbers), 1), -(-days // cores))
        todo = [(at, min(size, days - at)) for at in range(0, days, size)]
        came: list[Late] = []
        with ThreadPoolExecutor(cores) as pool:
            waiting = [pool.submit(play, numbers, first + at, many) for at, many in todo]
            try:
                for (at, many), future in zip(todo, waiting, strict=True):
                    came.append(future.result())
                    told(at + many, days)
            finally:
                for future in waiting:
                    future.cancel()
        return Late(
            np.concatenate([part.came for part in came]),
            np.concatenate([part.late for part in came], axis=1),
        )

    return divided
