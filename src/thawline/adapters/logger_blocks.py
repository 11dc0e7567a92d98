"""
A logger file on the disk, read in blocks and folded while it is read, whatever its size.

As much is read as the file held when it was opened. A last line without an end may be cut off,
so it is handed back like every line that deviates.
"""

import os
import re
from codecs import BOM_UTF8
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from datetime import UTC, timedelta, tzinfo
from functools import partial
from io import FileIO
from itertools import chain, islice
from pathlib import Path

import numpy as np

from thawline.base.errors import ExchangeError, NotPlainError
from thawline.exchange.loggers.layout import Layout
from thawline.exchange.loggers.local_times import (
    FIRST_YEAR,
    LAST_YEAR,
    LocalTimes,
    local_times,
)
from thawline.exchange.loggers.plain_arrays import read_arrays
from thawline.exchange.loggers.plain_plan import (
    WHY,
    Bytes,
    OddLine,
    PlainBlock,
    Why,
    plan_of,
)
from thawline.store.displays import HALF_FAHRENHEIT_MC
from thawline.store.exposure import Question
from thawline.store.readings import Readings, readings
from thawline.store.running import Answer, RunningRecord
from thawline.store.tidy import settle, usual_interval

BLOCK = 1 << 20  # bytes read at once
COMPILED_FROM = 16 << 20  # bytes from which loading the compiler is worth its half second
LISTED_MOST = 1_000  # findings and odd lines that are named one by one; all are counted
WHOLE_MOST = 20_000_000  # readings that are put in order in memory, 12 bytes each
YEARS_AHEAD = 4  # of the first reading, for which the zone is looked up at once
ODD_SHARE = 10  # one line in so many may be written otherwise than the first one
_MS = timedelta(milliseconds=1)
_END = re.compile(rb"\r\n|\r|\n")


ReadLine = Callable[[OddLine], tuple[int, int] | None]
"""From a line that deviates to instant and temperature; None: it is reported."""


@dataclass(frozen=True, slots=True)
class FileQuestion:
    """
    What a file is asked.

    Args:
        question: The band, and how far the logger may be off.
        activation_energy_kj_per_mol: From the protocol; None: it states none.
        interval_ms: As a person states it; None: as the header does, else the usual one.
        half_step_mc: How far a coarse display can hide, where the file tells; None: whole
            degrees Fahrenheit are noticed.
        read_line: Reads lines that deviate; None: all of them are reported.
    """

    question: Question
    activation_energy_kj_per_mol: float | None = None
    interval_ms: int | None = None
    half_step_mc: int | None = None
    read_line: ReadLine | None = None


@dataclass(frozen=True, slots=True)
class FoldedFile:
    """
    What a file says; long lists are cut off and counted.

    Args:
        answer: What the readings say, and what was found on the way.
        interval_ms: The interval that was used; None with fewer than two readings.
        half_step_mc: How far a coarse display can hide.
        lines: How many from the first reading on.
        reported: The first lines that nobody could read; blank ones are not among them.
        reported_count: How many.
    """

    answer: Answer
    interval_ms: int | None
    half_step_mc: int
    lines: int
    reported: tuple[OddLine, ...]
    reported_count: int


def fold_file(
    path: Path, layout: Layout, asked: FileQuestion, end: int | None = None
) -> FoldedFile:
    """
    Return what a plain file says, in memory that does not grow with the file.

    Args:
        path: The file.
        layout: How it is written; `plain_plan.fits` says whether it is plain.
        asked: What it is asked.
        end: Up to which byte; None: as far as the file goes when it is opened.

    Raises:
        NotPlainError: Most lines deviate, so the layout is not the file's.
        ExchangeError: The file is out of order by more than a block and too long to be put in
            order in memory.
    """
    source = partial(_pieces, path, layout, asked.read_line or _nobody, end)
    stated = asked.interval_ms
    if stated is None and layout.stated_interval is not None:
        stated = layout.stated_interval // _MS
    folded = _settled_fold(source, asked, stated)
    if not folded.answer.found.needs_whole:
        return folded
    return _settled_fold(partial(_whole, path, source), asked, stated)


@dataclass(frozen=True, slots=True, eq=False)
class _Piece:
    """The readings of some lines, those of odd lines among them, and lines nobody read."""

    raw: Readings
    lines: int
    reported: tuple[OddLine, ...]


_Source = Callable[[], Iterator[_Piece]]


def _settled_fold(source: _Source, asked: FileQuestion, stated: int | None) -> FoldedFile:
    """Return the fold whose interval and display are those of the whole file."""
    first = next(source(), None)
    interval = stated
    if stated is None and first is not None:
        interval = usual_interval(settle(first.raw)[0].at_ms)
    half = asked.half_step_mc or 0
    while True:
        folded = _folded(source, asked, interval, half)
        found = folded.answer.found
        true_interval = found.usual_ms if stated is None else stated
        true_half = half
        if asked.half_step_mc is None and found.whole_fahrenheit:
            true_half = HALF_FAHRENHEIT_MC
        if found.needs_whole or (interval, half) == (true_interval, true_half):
            return folded
        interval, half = true_interval, true_half


def _folded(
    source: _Source, asked: FileQuestion, interval_ms: int | None, half: int
) -> FoldedFile:
    record = RunningRecord(asked.question, interval_ms, half, LISTED_MOST)
    lines, count, reported = 0, 0, list[OddLine]()
    for piece in source():
        record.add(piece.raw)
        lines += piece.lines
        count += len(piece.reported)
        reported += piece.reported[: LISTED_MOST - len(reported)]
        if record.needs_whole:
            break
    answer = record.finish(asked.activation_energy_kj_per_mol)
    return FoldedFile(answer, interval_ms, half, lines, tuple(reported), count)


def _whole(path: Path, source: _Source) -> Iterator[_Piece]:
    """Yield one piece with the whole file, to be put in order in memory."""
    pieces, count = list[_Piece](), 0
    for piece in source():
        pieces.append(piece)
        count += len(piece.raw)
        if count > WHOLE_MOST:
            raise ExchangeError(
                f"{path.name}: more than {WHOLE_MOST:,} readings, and not in the order of time",
                advice="sort the file by time, or export a shorter time",
            )
    yield _Piece(
        readings(
            np.concatenate([piece.raw.at_ms for piece in pieces]),
            np.concatenate([piece.raw.temp_mc for piece in pieces]),
        ),
        sum(piece.lines for piece in pieces),
        tuple(chain.from_iterable(piece.reported for piece in pieces)),
    )


def _pieces(
    path: Path, layout: Layout, read_line: ReadLine, end: int | None = None
) -> Iterator[_Piece]:
    """Yield the pieces of a file, block by block."""
    for block in plain_blocks(path, layout, end):
        yield _with_odd_lines(block, read_line)


def _with_odd_lines(block: PlainBlock, read_line: ReadLine) -> _Piece:
    """Return the readings with those of odd lines in their places, and what nobody read."""
    if not block.odd:
        return _Piece(block.raw, block.lines, ())
    places, times, temps, reported = [], [], [], []
    for odd in block.odd:
        if not odd.text.strip():
            continue
        reading = read_line(odd)
        if reading is None:
            reported.append(odd)
        else:
            places.append(odd.before)
            times.append(reading[0])
            temps.append(reading[1])
    raw = readings(
        np.insert(block.raw.at_ms, places, times), np.insert(block.raw.temp_mc, places, temps)
    )
    return _Piece(raw, block.lines, tuple(reported))


def _nobody(_: OddLine) -> None:
    """Read nothing: the line is reported."""


def plain_blocks(
    path: Path, layout: Layout, end: int | None = None, *, columns_only: bool = False
) -> Iterator[PlainBlock]:
    """
    Yield what was read of each block of the file, from the first reading on.

    Args:
        path: The file.
        layout: How it is written.
        end: Up to which byte; None: as far as the file goes when it is opened.
        columns_only: A small file is never worth the compiler, however unlike its lines.
    """
    line = 1
    reader: _Reader | None = None
    for text, size in _texts(path, end):
        rest = text
        if line < layout.first_line:
            rest, line = _after_header(rest, line, layout.first_line)
        while len(rest):
            reader = reader or _Reader(
                layout, _first_line(rest), size, columns_only=columns_only
            )
            block = reader.block(rest, line)
            line += block.lines
            rest = rest[block.used :]
            yield block


class _Reader:
    """Reads blocks of one file: by columns while that does, compiled where it pays."""

    def __init__(
        self, layout: Layout, first_line: bytes, size: int, *, columns_only: bool
    ) -> None:
        self._zone = layout.time.zone or UTC
        self._plan = plan_of(layout, first_line)
        self._times = _times_near(self._zone, first_line)
        self._compiled = size >= COMPILED_FROM
        self._columns_only = columns_only
        self._blank_end = _blank_end(layout, self._plan.columns)

    def block(self, text: Bytes, line: int) -> PlainBlock:
        """Return what was read of the lines, or of a last line without an end."""
        ended = bytes(text[-1:]) == b"\n" or _last_end(text)
        if not ended:
            odd = OddLine(line, text.tobytes(), Why.NO_END, 0)
            return PlainBlock(readings([], []), (odd,), 1, len(text))
        whole = text if ended is True else text[:ended]
        block = self._read(whole, line)
        if any(odd.why is Why.FAR_AWAY for odd in block.odd):
            self._times = local_times(self._zone)
            block = self._read(whole, line)
        if self._blank_end and self._ends_blank(whole[: block.used]) < block.lines:
            raise NotPlainError(
                f"from line {line} on, more cells than the table has columns",
                advice="export it again with semicolons or tabs, or a shorter time",
            )
        if len(block.odd) >= LISTED_MOST and len(block.odd) * 2 > block.lines:
            odd = block.odd[0]
            raise NotPlainError(
                f"line {odd.line}: {WHY[odd.why]}, and so are most lines after it",
                advice="this long a file must be laid out plainly; export a shorter time",
            )
        return block

    def _ends_blank(self, text: Bytes) -> int:
        """Return how many lines have nothing in the cells beyond the table."""
        assert self._blank_end is not None  # noqa: S101  looked at before
        return len(self._blank_end.findall(text.tobytes()))

    def _read(self, text: Bytes, line: int) -> PlainBlock:
        if not self._compiled:
            block = read_arrays(text, self._plan, self._times, line)
            alike = len(block.odd) * ODD_SHARE < block.lines + ODD_SHARE
            if alike or self._columns_only:
                return block
            self._compiled = True  # not alike, digit under digit: only the compiled one can
        from thawline.exchange.loggers.plain import read_block  # noqa: PLC0415  half a second

        return read_block(text, self._plan, self._times, line)


def _blank_end(layout: Layout, columns: int) -> re.Pattern[bytes] | None:
    """
    Return how a line ends whose cells beyond the table are blank; None where there are none.

    What stands in such a cell may be the decimals of the temperature, cut off at a comma.
    """
    beyond = 0 if layout.width is None else columns - layout.width
    if beyond <= 0:
        return None
    blank = rb"(?:%b *){%d}\r?\n" % (re.escape(layout.delimiter.encode()), beyond)
    return re.compile(blank)


def _times_near(zone: tzinfo, first_line: bytes) -> LocalTimes:
    """Return the stretches of a zone in the years around a file's first reading."""
    year = re.search(rb"(?<!\d)(19|20)\d\d(?!\d)", first_line)
    if year is None or not FIRST_YEAR < int(year[0]) < LAST_YEAR - YEARS_AHEAD:
        return local_times(zone)
    return local_times(zone, int(year[0]) - 1, int(year[0]) + YEARS_AHEAD)


def _last_end(text: Bytes) -> int:
    """Return where the last whole line ends; 0 without any."""
    return text.tobytes().rfind(b"\n") + 1


def _texts(path: Path, end: int | None) -> Iterator[tuple[Bytes, int]]:
    """
    Yield blocks of whole lines, and the size of the file; the last may end within a line.

    Raises:
        ExchangeError: A line is longer than a block.
    """
    with path.open("rb", buffering=0) as file:
        size = left = os.fstat(file.fileno()).st_size if end is None else end
        rest = b""
        while left > 0:
            read = file.read(min(BLOCK, left))
            left = left - len(read) if read else 0
            text = (rest + read).removeprefix(BOM_UTF8 if left + len(read) == size else b"")
            end = len(text) if left <= 0 else text.rfind(b"\n") + 1
            rest = text[end:]
            if len(rest) > BLOCK:
                line = _line_of(file, file.tell() - len(rest))
                raise ExchangeError(
                    f"{path.name}: line {line:,} has more than {BLOCK:,} bytes",
                    advice="this is no text file of a logger; export it again as CSV",
                )
            if end:
                yield np.frombuffer(text, dtype=np.uint8, count=end), size


def _line_of(file: FileIO, offset: int) -> int:
    """Return the number of the line that begins at an offset, from the file read once more."""
    file.seek(0)
    line, left = 1, offset
    while left > 0 and (read := file.read(min(BLOCK, left))):
        line, left = line + read.count(b"\n"), left - len(read)
    return line


def _after_header(text: Bytes, line: int, first_line: int) -> tuple[Bytes, int]:
    """
    Return the bytes behind the header, and the number of the line that they begin with.

    A carriage return alone ends a line of a header too: whoever does not count it begins below
    the first reading.
    """
    ends = islice(_END.finditer(text.tobytes()), first_line - line)
    last, count = 0, 0
    for count, end in enumerate(ends, 1):  # noqa: B007  how many there were
        last = end.end()
    return text[last:], line + count


def _first_line(text: Bytes) -> bytes:
    return text.tobytes().partition(b"\n")[0]
