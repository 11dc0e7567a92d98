"""
The lines of a logger file, from bytes that come in blocks; each keeps its number.

A file may be longer than memory and may still be growing: a line is given out once its end was
seen, and the last one says whether it had an end.
"""

import codecs
import csv
import re
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass

from thawline.base.errors import ExchangeError

MOST_LINE = 65_536  # characters; a technical limit: no reading is that long, a hostile file is
_END = re.compile(r"\r\n|\r|\n")


@dataclass(frozen=True, slots=True)
class Row:
    """One line of the file, cut into cells."""

    line: int
    cells: Sequence[str]


@dataclass(frozen=True, slots=True)
class Block:
    """
    Some lines in a row.

    Args:
        first: Number of the first of them, counted from 1.
        lines: Without their ends.
        open_ended: The last line is the file's last and had no end: it may be cut off.
    """

    first: int
    lines: Sequence[str]
    open_ended: bool = False


def lines_of(text: str) -> list[str]:
    """
    Return the lines of a text; what follows the last line end is one if there is anything.

    Raises:
        ExchangeError: A line is too long to be one of a logger file.
    """
    lines = _END.split(text)
    if lines and not lines[-1]:
        lines.pop()
    for number, line in enumerate(lines, 1):
        _check_length(line, number)
    return lines


def complete_lines(head: bytes) -> bytes:
    """Return the beginning of a longer file up to the last line end in it."""
    if b"\0" in head:  # two bytes a character
        even = head[: len(head) // 2 * 2]
        ends = (even.rfind(b"\n\0"), even.rfind(b"\0\n"))
        return even[: max(ends) + 2 - max(ends) % 2] if max(ends) > 0 else even
    end = max(head.rfind(b"\n"), head.rfind(b"\r"))
    return head[: end + 1] if end >= 0 else head


def blocks_of(raw: Iterable[bytes], codec: str) -> Iterator[Block]:
    """
    Yield the lines in a file's bytes, block by block, in the memory of one block.

    Bytes that are no letter of the encoding become U+FFFD: they spoil their own line only.

    Raises:
        ExchangeError: A line is too long to be one of a logger file.
    """
    reader = codecs.getincrementaldecoder(codec)(errors="replace")
    number, left = 1, ""
    for text in _texts(raw, reader):
        held = "\r" if (left + text).endswith("\r") else ""  # its line feed may come next
        lines = _END.split((left + text).removesuffix(held))
        left = lines.pop() + held
        for offset, line in enumerate(lines):
            _check_length(line, number + offset)
        _check_length(left, number + len(lines))
        if lines:
            yield Block(number, lines)
        number += len(lines)
    if left.endswith("\r"):
        yield Block(number, [left[:-1]])
    elif left:
        yield Block(number, [left], open_ended=True)


def cells_of(text: str, delimiter: str) -> list[str]:
    """Return the cells of a line, without the white space and quotation marks around them."""
    if '"' in text:
        try:
            parts = next(csv.reader([text], delimiter=delimiter), [])
        except csv.Error:
            parts = text.split(delimiter)
    else:
        parts = text.split(delimiter)
    return [part.strip() for part in parts]


def _texts(raw: Iterable[bytes], reader: codecs.IncrementalDecoder) -> Iterator[str]:
    first = True
    for block in raw:
        text = reader.decode(block)
        yield text.removeprefix("\ufeff") if first else text
        first = first and not text
    yield reader.decode(b"", final=True)


def _check_length(line: str, number: int) -> None:
    if len(line) > MOST_LINE:
        raise ExchangeError(
            f"line {number} is longer than {MOST_LINE:,} characters",
            advice="look at the file; export it again",
        )
