"""
Reads a spreadsheet file inside a child process that can do nothing else.

Run as a program: the workbook's bytes on standard input, one JSON object on standard output.
The child has little memory, little time, and no way to open a file or a connection; an archive
that unpacks to too much is refused by counting what really comes out, not by what it claims.
"""

import codecs
import json
import re
import resource
import stat
import sys
import zipfile
from collections.abc import Iterator, Sequence
from datetime import UTC, date, datetime, time, timedelta
from io import BytesIO
from typing import Any

MEMORY = 512 * 1024 * 1024
SECONDS = 20
MOST_MEMBERS = 200
MOST_UNPACKED = 100_000_000
MOST_RATIO = 100
MOST_ROWS = 200_000
MOST_COLUMNS = 500
_CHUNK = 65_536
_SPARE = 100_000  # below this many bytes any ratio is harmless
_ENTITIES = re.compile(rb"<\0?!\0?(?:D\0?O\0?C\0?T\0?Y\0?P\0?E|E\0?N\0?T\0?I\0?T\0?Y)")
_DAY = timedelta(days=1)


class UnreadableError(Exception):
    """Why a workbook is refused, for a person."""

    def __init__(self, says: str, advice: str = "") -> None:
        super().__init__(says)
        self.advice = advice


def main() -> int:
    """Read a workbook from standard input and print its sheet, or why not."""
    asked = sys.argv[1] if len(sys.argv) > 1 else None
    from python_calamine import CalamineError  # noqa: PLC0415  before no file may be opened

    raw = sys.stdin.buffer.read()
    codecs.lookup(
        "cp437"
    )  # the archive's names are in it; it is a file that must be loaded now
    _shut_in()
    try:
        check_archive(raw)
        answer = _sheet(raw, asked)
    except UnreadableError as error:
        answer = {"error": str(error), "advice": error.advice}
    except (CalamineError, zipfile.BadZipFile, zipfile.LargeZipFile, EOFError) as error:
        answer = {
            "error": f"not a workbook that can be read: {error}",
            "advice": "save it again",
        }
    except MemoryError:
        answer = {"error": "the workbook needs too much memory", "advice": "split it by day"}
    json.dump(answer, sys.stdout)
    return 0


def check_archive(raw: bytes) -> None:
    """
    Look at every member of the archive, by unpacking it in small pieces.

    Raises:
        UnreadableError: It is too large, too dense, or holds something no workbook needs.
    """
    with zipfile.ZipFile(BytesIO(raw)) as archive:
        members = archive.infolist()
        if len(members) > MOST_MEMBERS:
            raise UnreadableError(
                f"{len(members)} parts in the workbook; at most {MOST_MEMBERS}"
            )
        unpacked = 0
        for member in members:
            _check_name(member)
            for chunk in _chunks(archive, member):
                unpacked += len(chunk)
                _check_size(unpacked, len(raw))


def _check_name(member: zipfile.ZipInfo) -> None:
    parts = member.filename.replace("\\", "/").split("/")
    mode = member.external_attr >> 16
    if member.filename.startswith(("/", "\\")) or ".." in parts or stat.S_ISLNK(mode):
        raise UnreadableError(
            "a part of the workbook points outside it", "do not open this file"
        )
    if member.flag_bits & 1:
        raise UnreadableError("the workbook is locked with a password", "save it without")


def _chunks(archive: zipfile.ZipFile, member: zipfile.ZipInfo) -> Iterator[bytes]:
    """Yield what really comes out of a member; refuses XML that declares its own entities."""
    tail = b""
    with archive.open(member) as part:
        while chunk := part.read(_CHUNK):
            if _ENTITIES.search(tail + chunk):
                raise UnreadableError(
                    "a part declares entities of its own", "do not open this file"
                )
            tail = chunk[-40:]
            yield chunk


def _check_size(unpacked: int, packed: int) -> None:
    if unpacked > MOST_UNPACKED or unpacked > max(packed * MOST_RATIO, _SPARE):
        raise UnreadableError("the workbook unpacks to far more than it is", "split it by day")


def _sheet(raw: bytes, asked: str | None) -> dict[str, Any]:
    from python_calamine import CalamineWorkbook  # noqa: PLC0415  loaded by main already

    book = CalamineWorkbook.from_filelike(BytesIO(raw))
    rows = {name: book.get_sheet_by_name(name) for name in book.sheet_names}
    filled = [name for name, sheet in rows.items() if sheet.height]
    if asked is not None and asked not in rows:
        raise UnreadableError(
            f"no sheet {asked!r}; there are: {_list(rows)}", "name one of them"
        )
    if asked is None and len(filled) != 1:
        if not filled:
            raise UnreadableError("no sheet with anything on it", "look at the file")
        raise UnreadableError(
            f"several sheets: {_list(filled)}", f"say which, as in --sheet '{filled[0]}'"
        )
    name = filled[0] if asked is None else asked
    sheet = rows[name]
    height, width = (end + 1 for end in sheet.end or (0, 0))
    if height > MOST_ROWS or width > MOST_COLUMNS:
        raise UnreadableError(
            f"the sheet reaches to row {height:,}, column {width:,}; "
            f"at most {MOST_ROWS:,} rows and {MOST_COLUMNS} columns",
            "delete what stands far out, or split it by day",
        )
    grid = sheet.to_python(skip_empty_area=False)
    return {"sheet": name, "rows": [[_plain(cell) for cell in row] for row in grid]}


def _plain(cell: object) -> object:
    """Return a cell for JSON: text as it is, anything typed in an object naming its type."""
    if isinstance(cell, bool):
        return str(cell).upper()
    if isinstance(cell, int | float):
        return {"number": repr(cell)}
    if isinstance(cell, timedelta):
        return _length(cell)
    for kind, name in _TIMES:
        if isinstance(cell, kind):
            return {name: cell.isoformat()}
    return str(cell)


_TIMES: tuple[tuple[type[date] | type[time], str], ...] = (
    (datetime, "moment"),  # before date: every datetime is one
    (date, "day"),
    (time, "clock"),
)


def _length(cell: timedelta) -> object:
    """Return a length of under a day as the time of day it stands for, else as text."""
    if timedelta() <= cell < _DAY:
        return {"clock": (datetime.min.replace(tzinfo=UTC) + cell).time().isoformat()}
    return str(cell)


def _list(names: Sequence[str] | dict[str, Any]) -> str:
    return ", ".join(repr(name) for name in names)


def _shut_in() -> None:
    """Leave this process little memory and time, and nothing it could open."""
    for kind, most in (
        (resource.RLIMIT_AS, MEMORY),
        (resource.RLIMIT_CPU, SECONDS),
        (resource.RLIMIT_FSIZE, 0),
        (resource.RLIMIT_NOFILE, 3),
        (resource.RLIMIT_CORE, 0),
    ):
        resource.setrlimit(kind, (most, most))


if __name__ == "__main__":
    sys.exit(main())
