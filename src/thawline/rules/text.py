"""
A rule file as text: whether it is fit to look at, and which line says what.

Everything that could make reading slow or deep is refused before it is parsed. Lines come
from a small scan of headers and keys, which is why a rule file keeps one key a line.
"""

import re
import tomllib
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from decimal import Decimal

from thawline.base.errors import RuleError

MOST_BYTES = 256 * 1024
DEEPEST = 8

_BYTE_ORDER_MARK = "\N{ZERO WIDTH NO-BREAK SPACE}"
_PIECE = re.compile(
    r'"""(?:\\.|[^\\])*?"""|\'\'\'.*?\'\'\'|"(?:\\.|[^"\\\n])*"|\'[^\'\n]*\'|#[^\n]*|[\[\]{}.=,\n]',
    re.DOTALL,
)
_LONG_TEXT = re.compile(r'"""(?:\\.|[^\\])*?"""|\'\'\'.*?\'\'\'', re.DOTALL)
_NAME = r"""(?:[A-Za-z0-9_-]+|"[^"\n]*"|'[^'\n]*')"""
_DOTTED = rf"{_NAME}(?:[ \t]*\.[ \t]*{_NAME})*"
_HEADER = re.compile(rf"[ \t]*(\[\[?)[ \t]*({_DOTTED})[ \t]*\]")
_KEY = re.compile(rf"[ \t]*({_DOTTED})[ \t]*=")
_AT_LINE = re.compile(r"\(at line (\d+), column \d+\)")


@dataclass(frozen=True, slots=True)
class Text:
    """A parsed rule file: its tables, and the line of each dotted key."""

    tree: Mapping[str, object]
    lines: Mapping[str, int]

    def line(self, key: str) -> int | None:
        """Return the line of a key or of the nearest table around it, if either has one."""
        while key and key not in self.lines:
            key = key.rpartition(".")[0]
        return self.lines.get(key)


def read_text(raw: bytes) -> Text:
    """
    Return the tables of a rule file with the lines they stand on.

    Raises:
        RuleError: The file is too big, not UTF-8, too deep or not TOML.
    """
    text = _decoded(raw)
    _refuse_deep(text)
    try:
        tree = tomllib.loads(text, parse_float=Decimal)
    except ArithmeticError as error:
        raise _not_toml("a number that nobody can read") from error
    except ValueError as error:
        raise _not_toml(str(error)) from error
    return Text(tree, dict(_key_lines(text)))


def _decoded(raw: bytes) -> str:
    if len(raw) > MOST_BYTES:
        raise RuleError(
            f"file of {len(raw):,} bytes; a rule file has at most {MOST_BYTES:,}",
            advice="check that this is the protocol file",
        )
    try:
        return raw.decode("utf-8").removeprefix(_BYTE_ORDER_MARK).replace("\r\n", "\n")
    except UnicodeDecodeError as error:
        line = raw.count(b"\n", 0, error.start) + 1
        raise RuleError(
            f"not UTF-8: byte {raw[error.start]:#04x}",
            line=line,
            advice="save the file as UTF-8",
        ) from error


def _refuse_deep(text: str) -> None:
    depth = dots = 0
    line = 1
    for match in _PIECE.finditer(text):
        piece = match.group()
        depth += (piece in "[{") - (piece in "]}")
        dots = dots + 1 if piece == "." else dots * (piece[0] in "\"'")
        if depth > DEEPEST or dots >= DEEPEST:
            raise RuleError(
                f"tables nested deeper than {DEEPEST}",
                line=line,
                advice="keep to the tables of the protocol format",
            )
        line += piece.count("\n")


def _not_toml(says: str) -> RuleError:
    place = _AT_LINE.search(says)
    line = int(place.group(1)) if place else None
    return RuleError(
        f"not TOML: {_AT_LINE.sub('', says).strip()}",
        line=line,
        advice="correct the line; docs/reference/protocol-format.md shows the format",
    )


def _key_lines(text: str) -> Iterator[tuple[str, int]]:
    """Yield each dotted key with its line; list tables are numbered from 0."""
    flat = _LONG_TEXT.sub(lambda match: "\n" * match.group().count("\n"), text)
    table = ""
    counts: dict[str, int] = {}
    for number, line in enumerate(flat.split("\n"), 1):
        if header := _HEADER.match(line):
            name = _plain(header.group(2))
            table = name
            if header.group(1) == "[[":
                counts[name] = counts.get(name, -1) + 1
                table = f"{name}.{counts[name]}"
                yield name, number
            yield table, number
        elif key := _KEY.match(line):
            yield f"{table}.{_plain(key.group(1))}".removeprefix("."), number


def _plain(dotted: str) -> str:
    return ".".join(part.strip(" \t\"'") for part in dotted.split("."))
