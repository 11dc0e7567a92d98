"""
A table from a file: rows of cells with the line they stand on, whatever the layout.

Text files are cut at the delimiter under which the header makes most sense. Spreadsheets
bring typed cells (dates, times, numbers); everything in a text file is text.
"""

import csv
import re
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass
from datetime import date, datetime, time
from decimal import Decimal

from thawline.base.errors import ExchangeError
from thawline.exchange.encodings import decoded

Cell = str | Decimal | date | time | datetime
"""What one cell holds; `""` when it is empty. Dates and times are local, without a zone."""

MOST_BYTES = 20_000_000  # a technical limit: packed size of a file that is read in
MOST_LINE = 65_536  # likewise, characters; no booking is that long, a hostile file is
MOST_COLUMNS = 500
DELIMITERS = {"comma": ",", "semicolon": ";", "tab": "\t", "bar": "|"}

_LINE = re.compile(r"[^\r\n]*(?:\r\n|\r|\n)|[^\r\n]+\Z")
_DECLARED = re.compile(r'"?sep=(.)"?\s*', re.IGNORECASE)
_HEAD_LINES = 40  # lines looked at to choose the delimiter


@dataclass(frozen=True, slots=True)
class Row:
    """One row and the line of the file, or the row of the sheet, on which it starts."""

    line: int
    cells: tuple[Cell, ...]


@dataclass(frozen=True, slots=True)
class Table:
    """Every row that is not empty; `read_as` says how the file was taken, piece by piece."""

    rows: tuple[Row, ...]
    read_as: tuple[str, ...]


Recognises = Callable[[Sequence[Cell]], int]
"""How many of a row's cells are known names of columns."""


def text_table(
    raw: bytes,
    recognises: Recognises,
    *,
    encoding: str | None = None,
    delimiter: str | None = None,
) -> Table:
    """
    Return the table in a text file's bytes.

    Args:
        raw: The whole file.
        recognises: Chooses the delimiter: the one under which most column names are known.
        encoding: As asked for; None finds it.
        delimiter: Its name or the character, as asked for; None finds it.

    Raises:
        ExchangeError: Something about the file cannot be read, or cannot be told.
    """
    if len(raw) > MOST_BYTES:
        raise too_long()
    found = decoded(raw, encoding)
    lines = _lines(found.text)
    skipped = 0
    if delimiter is None and (declared := _DECLARED.fullmatch(lines[0])):
        delimiter, skipped = declared[1], 1
    name = _named(delimiter) if delimiter else _chosen(lines, recognises)
    rows = tuple(_rows(lines, DELIMITERS[name], skipped))
    return Table(rows, (name, found.encoding))


def too_long() -> ExchangeError:
    """Return the refusal of a file beyond the limit."""
    return ExchangeError(
        f"the file is longer than {MOST_BYTES // 1_000_000} MB", advice="split it by day"
    )


def without_empty_end(cells: Sequence[Cell]) -> tuple[Cell, ...]:
    """Return the cells up to the last one that is not empty."""
    end = len(cells)
    while end and cells[end - 1] == "":
        end -= 1
    return tuple(cells[:end])


def _lines(text: str) -> list[str]:
    lines = _LINE.findall(text)
    for number, line in enumerate(lines, 1):
        if len(line) > MOST_LINE:
            raise ExchangeError(
                f"line {number} is longer than {MOST_LINE:,} characters",
                advice="look at the file; export it again",
            )
    return lines


def _named(delimiter: str) -> str:
    for name, character in DELIMITERS.items():
        if delimiter.lower() in (name, character):
            return name
    raise ExchangeError(
        f"unknown delimiter: {delimiter!r}", advice=f"one of {', '.join(DELIMITERS)}"
    )


def _chosen(lines: Sequence[str], recognises: Recognises) -> str:
    """Return the delimiter under which the best row of the head has most known names."""
    known = {name: _best(lines, mark, recognises) for name, mark in DELIMITERS.items()}
    most = max(known.values())
    best = [name for name, count in known.items() if count == most]
    if most == 0:
        raise ExchangeError(
            "no line with known column names",
            advice="say --delimiter, and name the columns, as in --column name=Patient",
        )
    if len(best) > 1:
        raise ExchangeError(
            f"cannot tell the delimiter: {' or '.join(best)}",
            advice=f"say which, as in --delimiter {best[0]}",
        )
    return best[0]


def _best(lines: Sequence[str], mark: str, recognises: Recognises) -> int:
    head = _cells(lines[:_HEAD_LINES], mark, strict=False)
    return max((recognises(cells) for _, cells in head), default=0)


def _rows(lines: Sequence[str], mark: str, skipped: int) -> Iterator[Row]:
    for start, cells in _cells(lines[skipped:], mark, strict=True):
        kept = without_empty_end([_clean(cell) for cell in cells])
        if len(kept) > MOST_COLUMNS:
            raise ExchangeError(f"line {start + skipped}: more than {MOST_COLUMNS} columns")
        if kept:
            yield Row(start + skipped, kept)


def _cells(lines: Sequence[str], mark: str, *, strict: bool) -> Iterator[tuple[int, list[str]]]:
    """Yield each record with the number of the line that it starts on."""
    reader = csv.reader(lines, delimiter=mark, strict=strict)
    start = 1
    try:
        for record in reader:
            yield start, record
            start = reader.line_num + 1
    except csv.Error as error:
        if not strict:
            return
        raise ExchangeError(
            f"line {start}: quotation marks do not match ({error})",
            advice="look at the quotation marks in that line",
        ) from error


def _clean(cell: str) -> str:
    return " ".join(cell.split())
