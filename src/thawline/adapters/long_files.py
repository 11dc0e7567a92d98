"""
A long logger file: its layout, its ends, and what it says, in memory that does not grow.

A file is long from as many bytes on as pay for the compiler, where it is plain enough to be
read in bulk. It is read up to where it ended when it was opened, however often it is read.
"""

from dataclasses import dataclass, replace
from itertools import islice
from pathlib import Path

import numpy as np

from thawline.adapters.logger_blocks import (
    COMPILED_FROM,
    FileQuestion,
    FoldedFile,
    fold_file,
    plain_blocks,
)
from thawline.adapters.logger_files import layout_on_disk
from thawline.app.cold_reading import step_mc
from thawline.base.errors import NotPlainError
from thawline.exchange.loggers.asked import Asked
from thawline.exchange.loggers.gathered import Gathered
from thawline.exchange.loggers.joined import LoggerFile
from thawline.exchange.loggers.layout import Layout
from thawline.exchange.loggers.lines import blocks_of
from thawline.exchange.loggers.plain_plan import OddLine, fits
from thawline.exchange.loggers.record import Chosen, Record, Why
from thawline.exchange.loggers.rows import chosen_probe, read_plain
from thawline.store.displays import half_step_mc
from thawline.store.exposure import Question
from thawline.store.pieces import NONE_YET

LONG_FROM = COMPILED_FROM
_END = 1 << 16  # bytes at the end of a file in which its last reading is looked for
_WITHOUT_TEMPERATURE = (Why.NO_VALUE, Why.WIDE)


@dataclass(frozen=True, slots=True, eq=False)
class LongFile:
    """A long file: where it ended, how it is laid out, and what its first readings say."""

    path: str
    end: int
    layout: Layout
    chosen: Chosen
    beginning: LoggerFile


def long_file(path: str, asked: Asked) -> LongFile | None:
    """
    Return a file that is long and plain; None of any other, which is read into memory.

    Raises:
        ExchangeError: Something about it cannot be told.
    """
    if path == "-" or not Path(path).is_file() or Path(path).stat().st_size < LONG_FROM:
        return None
    found = layout_on_disk(path, asked)
    if found is None or found[0].probe_names is not None:
        return None
    chosen = chosen_probe(found[0], asked.probe)
    layout, end = replace(found[0], probes=(chosen.probe,)), found[1]
    if not fits(layout):
        return None
    beginning = _beginning(path, end, layout, chosen)
    if beginning is None:
        return None
    return LongFile(path, end, layout, chosen, LoggerFile(path, layout, beginning))


def _beginning(path: str, end: int, layout: Layout, chosen: Chosen) -> Record | None:
    """Return what the first readings say; None where they are not written plainly."""
    try:
        blocks = islice(plain_blocks(Path(path), layout, end), 1)
        return read_plain(blocks, layout, chosen)
    except NotPlainError:
        return None


def last_ms(file: LongFile) -> int | None:
    """Return the latest instant near the end of the file; None where there is none."""
    with Path(file.path).open("rb") as opened:
        opened.seek(max(file.end - _END, 0))
        text = opened.read(min(_END, file.end)).partition(b"\n")[2]
    gathered = Gathered(replace(file.layout, first_line=1), file.chosen)
    for block in blocks_of([text], file.layout.encoding):
        gathered.take(block)
    return int(gathered.record().readings.at_ms.max()) if gathered.times_ms else None


def told(
    file: LongFile, question: Question, energy: float | None, interval_ms: int | None
) -> tuple[FoldedFile, LoggerFile]:
    """
    Return what a long file says of a band, and beside it the lines that gave no reading.

    Args:
        file: The file.
        question: The band, and how far the logger may be off.
        energy: For the mean kinetic temperature, in kJ/mol; None: the protocol states none.
        interval_ms: As a person states it; None: the shorter of stated and usual.

    Raises:
        NotPlainError: Most of its lines are written otherwise than the first ones.
        ExchangeError: It goes on in another unit, or is too long to be put in order.
    """
    step = step_mc([file.beginning])
    half = None if step is None else half_step_mc(NONE_YET.temp_mc, step)
    lines = _OddLines(file)
    asked = FileQuestion(question, energy, interval_ms, half, lines.read)
    path = Path(file.path)
    folded = fold_file(path, file.layout, asked, file.end)
    usual = folded.answer.found.usual_ms
    if interval_ms is None and usual is not None and usual < (folded.interval_ms or 0):
        folded = fold_file(path, file.layout, replace(asked, interval_ms=usual), file.end)
    return folded, LoggerFile(file.path, file.layout, lines.record())


class _OddLines:
    """Reads the lines that the bulk reader leaves out; the file may be gone through again."""

    def __init__(self, file: LongFile) -> None:
        self._file = file
        self._begin()

    def _begin(self) -> None:
        self._gathered = Gathered(self._file.layout, self._file.chosen)
        self._line = 0

    def read(self, odd: OddLine) -> tuple[int, int] | None:
        """
        Return the instant and temperature of a line; None where it gives none.

        Raises:
            NotPlainError: It holds a line end that the bulk reader does not know.
        """
        if b"\r" in odd.text.rstrip(b"\r"):
            raise NotPlainError(f"line {odd.line}: a line end that stands alone")
        if odd.line <= self._line:
            self._begin()
        self._line = odd.line
        return self._gathered.take_odd(odd)

    def record(self) -> Record:
        """Return the lines that gave no reading; the readings themselves are folded."""
        found = self._gathered
        return Record(
            self._file.chosen.probe,
            self._file.chosen.probe.name,
            NONE_YET,
            np.zeros(0, dtype=np.int64),
            tuple(sorted(found.not_read, key=lambda each: each.line)),
            found.counts,
            np.array(found.unplaced_mc, dtype=np.int32),
            any(found.counts[why] for why in _WITHOUT_TEMPERATURE),
            found.decimals,
        )
