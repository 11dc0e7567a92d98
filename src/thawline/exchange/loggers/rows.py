"""
The readings of one probe from the lines of a logger file, and every line that gave none.

Each line below the header is a reading, or is listed with why it is not. A temperature whose
time is not known is kept apart: it may be out of range, and then somebody must know.
"""

from collections.abc import Iterable

from thawline.base.errors import ExchangeError
from thawline.exchange.columns import folded
from thawline.exchange.loggers.gathered import Gathered
from thawline.exchange.loggers.layout import Layout, Probe
from thawline.exchange.loggers.lines import Block
from thawline.exchange.loggers.plain_plan import PlainBlock
from thawline.exchange.loggers.record import Chosen, Record

_ODD_SHARE = 10  # one line in so many may be odd; with more the other reader is as fast


def chosen_probe(layout: Layout, asked: str | None) -> Chosen:
    """
    Return the probe that is read.

    Raises:
        ExchangeError: There are several and none was asked for, or not that one.
    """
    named = [p for p in layout.probes if asked is not None and _is_called(p, asked)]
    if len(named) == 1:
        return Chosen(named[0])
    if len(layout.probes) == 1 and (asked is None or layout.probe_names is not None):
        return Chosen(layout.probes[0], asked)
    names = ", ".join(probe.name for probe in layout.probes)
    says = "several probes" if asked is None else f"no one probe called {asked!r}"
    raise ExchangeError(
        f"{says}; there are: {names}",
        advice=f"say which, as in --probe '{layout.probes[0].name}'",
    )


def read_record(blocks: Iterable[Block], layout: Layout, chosen: Chosen) -> Record:
    """
    Return the readings of a probe in the lines of a file.

    Raises:
        ExchangeError: There is no reading, a second unit turns up, or rows name several
            probes and none was asked for.
    """
    gathered = Gathered(layout, chosen)
    for block in blocks:
        gathered.take(block)
    return gathered.record()


def read_plain(blocks: Iterable[PlainBlock], layout: Layout, chosen: Chosen) -> Record | None:
    """
    Return the same from blocks read in bulk; None where lines are too odd for that.

    Raises:
        ExchangeError: As `read_record` does.
    """
    gathered = Gathered(layout, chosen)
    line = layout.first_line
    for block in blocks:
        if _is_odd(block):
            return None
        gathered.take_plain(block, line)
        line += block.lines
    return gathered.record() if line > layout.first_line else None


def _is_odd(block: PlainBlock) -> bool:
    """Say whether many lines are odd, or one holds a line end that a bulk reader knows not."""
    if len(block.odd) * _ODD_SHARE > block.lines:
        return True
    return any(b"\r" in odd.text.rstrip(b"\r") for odd in block.odd)


def _is_called(probe: Probe, asked: str) -> bool:
    return folded(probe.name) == folded(asked) or asked == str(probe.column + 1)
