"""
Reads a logger file from disk or standard input, in blocks, however long it is.

The head tells the layout; where it does not, a longer head may. What is read ends where the
file ended when it was opened: a file still being written gives what was there then.
"""

import shutil
import sys
import tempfile
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import replace
from datetime import UTC, date, datetime, time, timedelta
from decimal import Decimal
from io import BytesIO
from os import SEEK_END
from pathlib import Path
from typing import BinaryIO

from thawline.adapters.logger_blocks import COMPILED_FROM, plain_blocks
from thawline.adapters.tables import read_table
from thawline.base.errors import ExchangeError, NotFoundError, NotPlainError
from thawline.exchange.loggers.asked import Asked
from thawline.exchange.loggers.detect import layout_of
from thawline.exchange.loggers.joined import LoggerFile
from thawline.exchange.loggers.layout import Layout
from thawline.exchange.loggers.lines import blocks_of, complete_lines
from thawline.exchange.loggers.plain_plan import fits
from thawline.exchange.loggers.record import Chosen, Record
from thawline.exchange.loggers.rows import chosen_probe, read_plain, read_record
from thawline.exchange.tables import MOST_BYTES, Cell, too_long

_ZIP = b"PK\x03\x04"
_HEADS = (1 << 15, 1 << 20, 1 << 24)  # bytes looked at for the layout, as far as needed
_BLOCK = 1 << 20
_SPARE_MEMORY = 1 << 24  # of standard input; what is longer waits on disk
_CLOCK_YEARS = 1904  # a spreadsheet's time of day bears its epoch's date, at latest this year's
_HALF_SECOND = timedelta(milliseconds=500)


def read_logger(path: str, asked: Asked, *, sheet: str | None = None) -> LoggerFile:
    """
    Return what a logger file says of a probe; `-` reads standard input.

    Raises:
        NotFoundError: There is no such file.
        ExchangeError: It cannot be read, or something about it cannot be told.
    """
    with _opened(path) as file:
        end = file.seek(0, SEEK_END)
        file.seek(0)
        if file.read(len(_ZIP)) == _ZIP:
            text = BytesIO(_sheet_text(file, end, sheet))
            return _read(path, text, text.getbuffer().nbytes, asked)
        if sheet is not None:
            raise ExchangeError("a text file has no sheets", advice="leave out --sheet")
        return _read(path, file, end, asked)


def layout_on_disk(path: str, asked: Asked) -> tuple[Layout, int] | None:
    """
    Return how a text file is laid out and where it ends now; None of a workbook.

    Raises:
        NotFoundError: There is no such file.
        ExchangeError: Something about it cannot be told.
    """
    with _open(path) as file:
        end = file.seek(0, SEEK_END)
        file.seek(0)
        return None if file.read(len(_ZIP)) == _ZIP else (_layout(file, end, asked), end)


def _read(path: str, file: BinaryIO, end: int, asked: Asked) -> LoggerFile:
    layout = _layout(file, end, asked)
    chosen = chosen_probe(layout, asked.probe)
    on_disk = path != "-" and not isinstance(file, BytesIO)
    record = _plain_record(path, end, layout, chosen) if on_disk else None
    if record is None:
        lines = blocks_of(_blocks(file, end), layout.encoding)
        record = read_record(lines, layout, chosen)
    return LoggerFile(path, layout, record)


def _plain_record(path: str, end: int, layout: Layout, chosen: Chosen) -> Record | None:
    """Return the record of a file that is plain enough to be read in bulk; None of another."""
    plain = replace(layout, probes=(chosen.probe,))
    if layout.probe_names is not None or not fits(plain):
        return None
    blocks = plain_blocks(Path(path), plain, end, columns_only=end < COMPILED_FROM)
    try:
        return read_plain(blocks, plain, chosen)
    except NotPlainError:
        return None


def _layout(file: BinaryIO, end: int, asked: Asked) -> Layout:
    """Return the layout that the shortest head tells; a longer one may show more dates."""
    for size in _HEADS:
        head = b"".join(_blocks(file, min(size, end)))
        if len(head) >= end:
            return layout_of(head, asked)
        try:
            return layout_of(complete_lines(head), asked)
        except ExchangeError:
            if size == _HEADS[-1]:
                raise
    raise AssertionError


def _blocks(file: BinaryIO, end: int) -> Iterator[bytes]:
    """Yield a file's bytes from the start to an end that was seen before."""
    file.seek(0)
    left = end
    while left > 0 and (block := file.read(min(_BLOCK, left))):
        left -= len(block)
        yield block


@contextmanager
def _opened(path: str) -> Iterator[BinaryIO]:
    if path == "-":
        with tempfile.SpooledTemporaryFile(max_size=_SPARE_MEMORY) as copy:
            shutil.copyfileobj(sys.stdin.buffer, copy, _BLOCK)
            yield copy  # type: ignore[misc]  # it reads and seeks as a file does
        return
    with _open(path) as file:
        yield file


def _open(path: str) -> BinaryIO:
    try:
        return Path(path).open("rb")
    except (OSError, ValueError) as error:
        reason = getattr(error, "strerror", None) or error
        raise NotFoundError(f"cannot read {path!r}: {reason}") from error


def _sheet_text(file: BinaryIO, end: int, sheet: str | None) -> bytes:
    """Return a workbook's sheet as lines of text with tabs, typed cells in ISO 8601."""
    if end > MOST_BYTES:
        raise too_long()
    table = read_table(b"".join(_blocks(file, end)), lambda _: 0, sheet=sheet)
    timed = {c for row in table.rows for c, cell in enumerate(row.cells) if _is_moment(cell)}
    lines: list[str] = []
    for row in table.rows:
        lines += [""] * (row.line - len(lines) - 1)
        cells = (_cell_text(cell, timed=c in timed) for c, cell in enumerate(row.cells))
        lines.append("\t".join(cells))
    return "\n".join([*lines, ""]).encode()


def _is_moment(cell: Cell) -> bool:
    return isinstance(cell, datetime) and _rounded(cell).year > _CLOCK_YEARS


def _cell_text(cell: Cell, *, timed: bool) -> str:
    """Return a cell as text; in a column of times a date alone is the midnight it begins."""
    if isinstance(cell, datetime):
        whole = _rounded(cell)
        return f"{whole:%H:%M:%S}" if whole.year <= _CLOCK_YEARS else whole.isoformat(sep=" ")
    if isinstance(cell, date):
        return f"{cell.isoformat()} 00:00:00" if timed else cell.isoformat()
    if isinstance(cell, time):
        return f"{_rounded(datetime.combine(date(2000, 1, 1), cell, tzinfo=UTC)):%H:%M:%S}"
    return f"{cell:f}" if isinstance(cell, Decimal) else cell.replace('"', "'")


def _rounded(moment: datetime) -> datetime:
    """Return the nearest whole second: spreadsheets keep times as fractions of a day."""
    return (moment + _HALF_SECOND).replace(microsecond=0)
