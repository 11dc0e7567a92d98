"""
The `[[calls]]` and `[night]` tables of `site.toml`: whom to call, and when nobody is there.

Whatever else stands in the file, comments too, stays as it is. Names and numbers of the people
stand here and nowhere in the ledger.
"""

import os
import re
from collections.abc import Iterator, Mapping, Sequence
from datetime import time
from pathlib import Path
from typing import Any

from thawline.adapters.unit_tables import quoted
from thawline.base.errors import RecordError
from thawline.base.roles import Role
from thawline.store.calls import Called
from thawline.store.nights import Hours

_CALL_KEYS = ("name", "role", "number")
_HOURS = {"starts", "ends"}
_HEADING = re.compile(r"\s*\[")
_OWN = re.compile(r"""\s*(\[\[\s*calls\s*\]\]|\[\s*night\s*\])""")
_WALL = re.compile(r"([01]?\d|2[0-3]):([0-5]\d)", re.ASCII)
_NUMBER = re.compile(r"[0-9+() -]{3,30}", re.ASCII)


def read_calls(tables: Mapping[str, Any], where: str) -> tuple[Called, ...]:
    """
    Return the call chain of a site, in the order of the file.

    Raises:
        RecordError: A table is not what it should be; names the place, the key and the value.
    """
    calls = tables.get("calls", [])
    if not isinstance(calls, list):
        raise RecordError(f"{where}: 'calls' is {calls!r}", advice="write [[calls]]")
    return tuple(_called(table, f"{where}, call {n}") for n, table in enumerate(calls, 1))


def called(name: str, role: str, number: str, where: str = "the call chain") -> Called:
    """
    Return one of a call chain.

    Raises:
        RecordError: There is no name, no such role, or no telephone number.
    """
    if not name.strip() or not name.isprintable():
        raise RecordError(f"{where}: not a name: {name!r}", advice="write given and last name")
    if role not in set(Role):
        raise RecordError(f"{where}: not a role: {role!r}", advice=f"one of {', '.join(Role)}")
    if not _NUMBER.fullmatch(number.strip()):
        raise RecordError(f"{where}: not a number: {number!r}", advice="digits, as in 555-0101")
    return Called(name.strip(), role, number.strip())


def _called(table: object, where: str) -> Called:
    if not isinstance(table, dict) or set(table) != set(_CALL_KEYS):
        raise RecordError(f"{where}: is {table!r}", advice="write name, role and number")
    name, role, number = (_text(table[key], key, where) for key in _CALL_KEYS)
    return called(name, role, number, where)


def _text(value: object, key: str, where: str) -> str:
    if not isinstance(value, str):
        raise RecordError(f"{where}: {key} is {value!r}", advice=f'write {key} = "..."')
    return value


def read_hours(tables: Mapping[str, Any], where: str) -> Hours | None:
    """
    Return when nobody is at the site, None where the file does not say.

    Raises:
        RecordError: The table is not what it should be.
    """
    table = tables.get("night")
    if table is None:
        return None
    if not isinstance(table, dict) or set(table) != _HOURS:
        raise RecordError(f"{where}: 'night' is {table!r}", advice="write starts and ends")
    return hours(*(_text(table[key], key, where) for key in ("starts", "ends")))


def called_by(line: str) -> Called:
    """
    Return one of a call chain from a line as people type it: name, role, number.

    Raises:
        RecordError: It has not these three parts, or one of them is wrong.
    """
    parts = [part.strip() for part in line.split(",")]
    if len(parts) != len(_CALL_KEYS):
        raise RecordError(
            f"not name, role and number: {line!r}",
            advice='one person a line, as in "Rowan Thistle, site lead, 555-0102"',
        )
    return called(*parts)


def hours(starts: str, ends: str) -> Hours:
    """
    Return the hours of a night from wall-clock times as people type them.

    Raises:
        RecordError: One is no time of day, or the night has no length.
    """
    first, last = _wall(starts), _wall(ends)
    if first == last:
        raise RecordError(f"a night from {starts} to {ends}", advice="give two times")
    return Hours(first, last)


def _wall(text: str) -> time:
    match = _WALL.fullmatch(text.strip())
    if match is None:
        raise RecordError(f"not a time of day: {text!r}", advice="write it as 18:00")
    return time(int(match.group(1)), int(match.group(2)))


def keep_watch(path: Path, calls: Sequence[Called], night: Hours | None) -> None:
    """Write the call chain and the night into a site's settings, in place of those there."""
    lines = [*_others(path.read_text().splitlines()), *_tables(calls, night)]
    part = path.with_name(f"{path.name}.part")
    with part.open("w") as out:
        out.write("\n".join(lines) + "\n")
        out.flush()
        os.fsync(out.fileno())
    part.replace(path)


def _others(lines: list[str]) -> Iterator[str]:
    """Yield the lines of the file but those of our own tables."""
    inside = False
    for line in lines:
        if _HEADING.match(line):
            inside = _OWN.match(line) is not None
        if not inside:
            yield line


def _tables(calls: Sequence[Called], night: Hours | None) -> Iterator[str]:
    for each in calls:
        yield "[[calls]]"
        yield from (f'{key} = "{quoted(getattr(each, key))}"' for key in _CALL_KEYS)
    if night is not None:
        yield "[night]"
        yield f'starts = "{night.starts:%H:%M}"'
        yield f'ends = "{night.ends:%H:%M}"'
