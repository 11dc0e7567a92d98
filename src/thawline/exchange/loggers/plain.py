"""
Blocks of bytes of a plain logger file to readings, every line validated.

A large file is worth a compiler that takes half a second to load; a small one is read by whole
columns. Both give the same readings, and both hand back what they do not read.
"""

from collections.abc import Callable

import numpy as np

from thawline.exchange.loggers.local_times import LocalTimes
from thawline.exchange.loggers.plain_lines import read_lines
from thawline.exchange.loggers.plain_plan import (
    Bytes,
    OddLine,
    PlainBlock,
    Plan,
    Why,
)
from thawline.store.readings import Readings

Read = Callable[[Bytes, Plan, LocalTimes, int], PlainBlock]
"""From bytes, plan, zone and the number of the first line; `read_arrays` is another one."""

_SHORTEST = len("1-1-2000 0:00,0\n")  # no line with a reading is shorter
_ODD_MOST = 1_000  # lines handed back by one call; the rest of the block is read by the next


def read_block(text: Bytes, plan: Plan, zone: LocalTimes, first_line: int) -> PlainBlock:
    """
    Return the readings of whole lines, compiled where the process compiles.

    Args:
        text: Bytes of the file that end with a line.
        plan: Where things stand.
        zone: Stretches of the zone.
        first_line: The number of the first of the lines, counted from 1.

    Returns:
        What was read; `used` is less than all bytes when very many lines deviate.
    """
    most = len(text) // _SHORTEST + 1
    at_ms, temps = np.empty(most, dtype=np.int64), np.empty(most, dtype=np.int32)
    odd = np.empty((_ODD_MOST, _ODD_PARTS), dtype=np.int64)
    stretches = (zone.from_ms, zone.offset_ms, zone.doubt)
    lines, count, strange, used = read_lines(
        text, len(text), plan, stretches, (at_ms, temps), odd
    )
    handed_back = tuple(
        OddLine(first_line + line, text[at:end].tobytes(), Why(why), before)
        for line, at, end, why, before in odd[:strange].tolist()
    )
    return PlainBlock(Readings(at_ms[:count], temps[:count]), handed_back, lines, used)


_ODD_PARTS = 5  # line, first byte, end, why, readings before
