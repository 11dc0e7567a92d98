"""
Which columns of a logger file are temperatures, and which of them is the one that is read.

Names decide; where they do not, every column of numbers could be a probe and the person is
asked. Columns that are not read are named, because a reading may hide in them.
"""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from itertools import pairwise

from thawline.base.errors import ExchangeError
from thawline.exchange.columns import folded
from thawline.exchange.loggers.cells import number_in
from thawline.exchange.loggers.lines import Row
from thawline.exchange.loggers.shape import Shape, column_named, shown_name
from thawline.exchange.loggers.units import units_behind_values, units_in
from thawline.exchange.loggers.words import (
    EXTREME_WORDS,
    INDEX_WORDS,
    OTHER_WORDS,
    PROBE_NAME_WORDS,
    TEMPERATURE_WORDS,
    Role,
)

_SAMPLE = 300
_WORTH = (Role.TEMPERATURE, Role.UNKNOWN, Role.EXTREME)  # what is read where nothing better is


@dataclass(frozen=True, slots=True)
class Columns:
    """
    What the columns of a table are.

    Args:
        temperatures: Left to right; any of them can be the one that is read.
        unread: The names of the columns of numbers that are none, or only extremes.
        probe_names: The column in which each row names its probe; None where none does.
    """

    temperatures: tuple[int, ...]
    unread: tuple[str, ...]
    probe_names: int | None


def columns_of(shape: Shape, times: Sequence[int], asked: str | None) -> Columns:
    """
    Return what the columns of a table are.

    Raises:
        ExchangeError: None of them can be a temperature.
    """
    taken = {*times, *shape.key.moments, *shape.key.days, *shape.key.times}
    sample = shape.rows[:_SAMPLE]
    names_at = _probe_names(shape, taken)
    numbers = [
        c
        for c in range(max(len(row.cells) for row in sample))
        if c not in taken and c != names_at and _is_numbers(sample, c)
    ]
    roles = {c: _role(shape, sample, c) for c in numbers}
    chosen: list[int] = []
    for worth in _WORTH:
        chosen = chosen or [c for c, role in roles.items() if role is worth]
    if asked is not None and (column := column_named(shape.names, asked)) in numbers:
        chosen = sorted({*chosen, *([] if column is None else [column])})
    if not chosen:
        raise ExchangeError(
            "no column of temperatures beside the times",
            advice="name the column over it Temperature, with its unit",
        )
    passed = (Role.TEMPERATURE, Role.UNKNOWN, Role.EXTREME, Role.OTHER)
    unread = [c for c in numbers if c not in chosen and roles[c] in passed]
    return Columns(tuple(chosen), tuple(shown_name(shape.names, c) for c in unread), names_at)


def name_of(names: Sequence[str], column: int) -> str:
    """Return what the probe of a column is called, without the unit in the name."""
    name = shown_name(names, column)
    for sign in ("°C", "°F", "ºC", "ºF", "C", "F"):
        for bracketed in (f"({sign})", f"[{sign}]"):
            name = name.replace(bracketed, "")
        if len(sign) > 1:
            name = name.removesuffix(sign)
    bare = name.strip(" ,;:-")
    return bare or shown_name(names, column)


def _probe_names(shape: Shape, taken: Iterable[int]) -> int | None:
    """Return the column whose name says that its cells name probes; None where none does."""
    out = set(taken)
    for column, name in enumerate(shape.names):
        if column not in out and folded(name) in PROBE_NAME_WORDS:
            cells = {row.cells[column] for row in shape.rows if column < len(row.cells)}
            if not any("." in cell or "," in cell for cell in cells if number_in(cell)):
                return column
    return None


def _is_numbers(rows: Sequence[Row], column: int) -> bool:
    """Say whether most cells of a column that hold anything hold numbers."""
    cells = [row.cells[column] for row in rows if column < len(row.cells) and row.cells[column]]
    found = sum(number_in(cell) is not None for cell in cells)
    return found * 2 > len(cells)


def _role(shape: Shape, rows: Sequence[Row], column: int) -> Role:
    name = shape.names[column] if column < len(shape.names) else ""
    words = set(folded(name).split())
    is_degrees = bool(units_in(name)) or bool(units_behind_values(rows[:1], column))
    if words & OTHER_WORDS or _is_percent(rows, column):
        return Role.OTHER
    if words & EXTREME_WORDS:
        return Role.EXTREME
    if is_degrees or words & TEMPERATURE_WORDS:
        return Role.TEMPERATURE
    if words & INDEX_WORDS or (not name and _counts_up(rows, column)):
        return Role.INDEX
    return Role.INDEX if name in ("#", "№") else Role.UNKNOWN


def _is_percent(rows: Sequence[Row], column: int) -> bool:
    number = number_in(rows[0].cells[column]) if column < len(rows[0].cells) else None
    return number is not None and number.unit == "%"


def _counts_up(rows: Sequence[Row], column: int) -> bool:
    """Say whether a column without a name counts 1, 2, 3 and on."""
    cells = [row.cells[column] if column < len(row.cells) else "" for row in rows]
    if len(cells) < 2 or not all(cell.isdecimal() for cell in cells):  # noqa: PLR2004  a step
        return False
    return all(int(b) - int(a) == 1 for a, b in pairwise(cells))
