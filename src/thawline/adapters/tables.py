"""Reads a booking file from disk or standard input: text here, workbooks in a child process."""

import subprocess
import sys
from collections.abc import Sequence
from datetime import date, datetime, time
from decimal import Decimal
from pathlib import Path

import msgspec
from msgspec import Struct

from thawline.adapters.workbooks import SECONDS
from thawline.base.errors import ExchangeError, NotFoundError
from thawline.exchange.tables import (
    MOST_BYTES,
    Cell,
    Recognises,
    Row,
    Table,
    text_table,
    too_long,
    without_empty_end,
)

_ZIP = b"PK\x03\x04"
_BROKEN = "the workbook is too large or broken"


class _Typed(Struct, forbid_unknown_fields=True):
    """A cell that the spreadsheet gave a type; exactly one of these is set."""

    number: str | None = None
    moment: datetime | None = None
    day: date | None = None
    clock: time | None = None


class _Answer(Struct):
    """What the child process found."""

    error: str = ""
    advice: str = ""
    sheet: str = ""
    rows: list[list[str | _Typed]] = msgspec.field(default_factory=list)


def read_bytes(path: str) -> bytes:
    """
    Return a file's bytes; `-` reads standard input.

    Raises:
        NotFoundError: There is no such file.
        ExchangeError: It is too long.
    """
    if path == "-":
        raw = sys.stdin.buffer.read(MOST_BYTES + 1)
    else:
        try:
            with Path(path).open("rb") as file:
                raw = file.read(MOST_BYTES + 1)
        except (OSError, ValueError) as error:
            reason = getattr(error, "strerror", None) or error
            raise NotFoundError(f"cannot read {path!r}: {reason}") from error
    if len(raw) > MOST_BYTES:
        raise too_long()
    return raw


def saved_at(path: str) -> float | None:
    """Return when a file was last saved, in seconds since 1970; None for standard input."""
    return None if path == "-" else Path(path).stat().st_mtime


def read_table(
    raw: bytes,
    recognises: Recognises,
    *,
    sheet: str | None = None,
    encoding: str | None = None,
    delimiter: str | None = None,
) -> Table:
    """
    Return the table in a file's bytes, from a workbook or from text.

    Raises:
        ExchangeError: It cannot be read, or something about it cannot be told.
    """
    if raw.startswith(_ZIP):
        return _workbook(raw, sheet)
    if sheet is not None:
        raise ExchangeError("a text file has no sheets", advice="leave out --sheet")
    return text_table(raw, recognises, encoding=encoding, delimiter=delimiter)


def _workbook(raw: bytes, sheet: str | None) -> Table:
    answer = _asked(raw, sheet)
    if answer.error:
        raise ExchangeError(answer.error, advice=answer.advice)
    rows = []
    for number, cells in enumerate(answer.rows, 1):
        kept = without_empty_end([_cell(cell) for cell in cells])
        if kept:
            rows.append(Row(number, kept))
    return Table(tuple(rows), (f"sheet {answer.sheet!r}",))


def _asked(raw: bytes, sheet: str | None) -> _Answer:
    """Return the child's answer; a child that died means a workbook that cannot be read."""
    command = [sys.executable, "-I", "-m", "thawline.adapters.workbooks"]
    try:
        done = subprocess.run(  # noqa: S603  our own module, by the interpreter we run on
            [*command, *([] if sheet is None else [sheet])],
            input=raw,
            capture_output=True,
            timeout=SECONDS,
            check=True,
        )
        return msgspec.json.decode(done.stdout, type=_Answer)
    except (subprocess.SubprocessError, msgspec.DecodeError) as error:
        raise ExchangeError(_BROKEN, advice="save it as CSV, or split it by day") from error


def _cell(cell: str | _Typed) -> Cell:
    if isinstance(cell, str):
        return " ".join(cell.split())
    typed: Sequence[Cell | None] = (
        None if cell.number is None else Decimal(cell.number),
        cell.moment,
        cell.day,
        cell.clock,
    )
    return next(value for value in typed if value is not None)
