"""
Where the table of a logger file is: what separates its cells, its first line, its time columns.

A line is a reading when it has a date, a time of day and a number. What separates cells is what
makes most lines readings.
"""

from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass

from thawline.base.errors import ExchangeError
from thawline.exchange.columns import folded
from thawline.exchange.loggers.asked import Asked
from thawline.exchange.loggers.cells import Kind, kind_of, moment_in, ms_of_day
from thawline.exchange.loggers.lines import Row, cells_of
from thawline.exchange.loggers.words import TEMPERATURE_WORDS, TIME_WORDS
from thawline.exchange.tables import DELIMITERS

_SAMPLE = 300  # lines looked at to choose; a header has 30 at most by common practice
_MOST_COLUMNS = 200
_ABOVE = 2  # rows over the first reading that can carry the names of its columns


@dataclass(frozen=True, slots=True)
class TimeKey:
    """Which cells of a row hold a moment, a date alone, a time of day alone."""

    moments: tuple[int, ...]
    days: tuple[int, ...]
    times: tuple[int, ...]


@dataclass(frozen=True, slots=True)
class Shape:
    """
    The table found in the head of a file.

    Args:
        delimiter: Between its cells.
        key: Which columns hold times.
        rows: The rows that are readings, in order.
        names: What stands over each column; "" where nothing does.
        header_line: The line that they stand on, None without a header.
        above: The lines before the first reading, the header not among them.
        below: The lines after it that are no reading.
    """

    delimiter: str
    key: TimeKey
    rows: tuple[Row, ...]
    names: tuple[str, ...]
    header_line: int | None
    above: tuple[Row, ...]
    below: tuple[Row, ...]


def shape_of(lines: Sequence[str], asked: Asked) -> Shape:
    """
    Return where the table is.

    Raises:
        ExchangeError: There is none, or two ways to cut the lines do equally well.
    """
    delimiter, key, skipped = _cut(lines, asked.delimiter)
    rows = [
        Row(n, cells_of(text, delimiter)) for n, text in enumerate(lines, 1) if text.strip()
    ]
    fits = [row for row in rows if row.line > skipped and _fits(row, key)]
    first = fits[0].line
    above = [row for row in rows if skipped < row.line < first]
    header, names = _names(above, key)
    readings = {row.line for row in fits}
    return Shape(
        delimiter=delimiter,
        key=key,
        rows=tuple(fits),
        names=names,
        header_line=header,
        above=tuple(row for row in above if row.line != header),
        below=tuple(row for row in rows if row.line > first and row.line not in readings),
    )


def chosen_times(shape: Shape, asked: Asked) -> tuple[int, ...]:
    """
    Return the columns of the time: one with date and time, or the date's and the time's.

    Raises:
        ExchangeError: Several columns would do.
    """
    key = shape.key
    if asked.time_column is not None:
        return _asked_times(shape, asked.time_column)
    if key.moments and key.times and _are_days(shape):
        return _pair(shape, key.moments, key.times)
    if len(key.moments) == 1:
        return key.moments
    if key.moments:
        certain = [c for c in key.moments if _is_certain(shape, c)]
        return (certain[0],) if len(certain) == 1 else _which(shape, key.moments)
    return _pair(shape, key.days, key.times)


def column_named(names: Sequence[str], asked: str) -> int | None:
    """Return the column of that name, or of that number counted from 1; None without one."""
    places = [c for c, name in enumerate(names) if name and folded(name) == folded(asked)]
    if len(places) == 1:
        return places[0]
    number = int(asked) if asked.isdecimal() and len(asked) <= 3 else 0  # noqa: PLR2004  digits
    return number - 1 if number else None


def shown_name(names: Sequence[str], column: int) -> str:
    """Return what a column is called: its name, or its number counted from 1."""
    name = names[column] if column < len(names) else ""
    return name or f"column {column + 1}"


def _cut(lines: Sequence[str], asked: str | None) -> tuple[str, TimeKey, int]:
    """Return what separates the cells, the time columns, and how many lines only say so."""
    declared = lines[0].strip().strip('"') if lines else ""
    is_said = declared.lower().startswith("sep=") and len(declared) == len("sep=;")
    if asked is None and is_said:
        asked = declared[-1]
    names = [_delimiter_named(asked)] if asked else list(DELIMITERS.values())
    counted = {mark: _most_readings(lines[:_SAMPLE], mark) for mark in names}
    most = max(count for _, count in counted.values())
    best = [mark for mark, (_, count) in counted.items() if count == most]
    if most == 0:
        raise ExchangeError(
            "no line with a date, a time and a temperature",
            advice="say --delimiter if the cells are parted by something else; "
            "else export the readings again, one a line",
        )
    if len(best) > 1:
        shown = " or ".join(name for name, mark in DELIMITERS.items() if mark in best)
        raise ExchangeError(
            f"cannot tell the delimiter: {shown}", advice="say which, as in --delimiter comma"
        )
    return best[0], counted[best[0]][0], int(is_said)


def _delimiter_named(asked: str) -> str:
    for name, mark in DELIMITERS.items():
        if asked.lower() in (name, mark):
            return mark
    raise ExchangeError(
        f"unknown delimiter: {asked!r}", advice=f"one of {', '.join(DELIMITERS)}"
    )


def _most_readings(lines: Sequence[str], mark: str) -> tuple[TimeKey, int]:
    keys = Counter(
        key
        for line in lines
        if mark in line and line.count(mark) < _MOST_COLUMNS
        if (key := _key(cells_of(line, mark)))
    )
    return keys.most_common(1)[0] if keys else (TimeKey((), (), ()), 0)


def _key(cells: Sequence[str]) -> TimeKey | None:
    kinds = [kind_of(cell) for cell in cells]
    at = {
        kind: tuple(c for c, each in enumerate(kinds) if each is kind)
        for kind in (Kind.MOMENT, Kind.DAY, Kind.TIME, Kind.NUMBER)
    }
    key = TimeKey(at[Kind.MOMENT], at[Kind.DAY], at[Kind.TIME])
    has_time = key.moments or (key.days and key.times)
    return key if has_time and at[Kind.NUMBER] else None


def _fits(row: Row, key: TimeKey) -> bool:
    """Say whether a row is a reading: the time columns hold times, something else a number."""
    places = (*key.moments, *key.days, *key.times)
    if len(row.cells) <= max(places):
        return False
    wanted = ((key.moments, Kind.MOMENT), (key.days, Kind.DAY), (key.times, Kind.TIME))
    timed = all(kind_of(row.cells[c]) is kind for columns, kind in wanted for c in columns)
    return timed and any(
        kind_of(cell) is Kind.NUMBER for c, cell in enumerate(row.cells) if c not in places
    )


def _names(above: Sequence[Row], key: TimeKey) -> tuple[int | None, tuple[str, ...]]:
    """Return the names over the columns, from the row above the first reading, or from two."""
    last = max((*key.moments, *key.days, *key.times))
    near = [row for row in above[-_ABOVE:] if _may_be_header(row, last)]
    if not near:
        return None, ()
    below, over = near[-1], near[0]
    if _knows(below):
        return below.line, tuple(below.cells)
    if over is not below and _knows(over):
        width = max(len(over.cells), len(below.cells))
        pairs = zip(_padded(over.cells, width), _padded(below.cells, width), strict=True)
        return over.line, tuple(f"{name} {unit}".strip() for name, unit in pairs)
    return None, ()


def _padded(cells: Sequence[str], width: int) -> list[str]:
    return [*cells, *[""] * (width - len(cells))]


def _may_be_header(row: Row, last: int) -> bool:
    if len(row.cells) <= min(last, 1):
        return False
    return all(kind_of(cell) in (Kind.TEXT, Kind.BLANK) for cell in row.cells)


def _knows(row: Row) -> bool:
    """Say whether a row of several cells names a time or a temperature in one of them."""
    words = [set(folded(cell).split()) for cell in row.cells if cell]
    known = [each for each in words if each & (TIME_WORDS | TEMPERATURE_WORDS)]
    return bool(known) and len(words) > 1


def _are_days(shape: Shape) -> bool:
    """Say whether what looks like date and time is a date that a spreadsheet gave midnight."""
    found = [moment_in(row.cells[c]) for row in shape.rows for c in shape.key.moments]
    return all(
        each is not None and ms_of_day(each.time, twelve_hours=False) == 0 for each in found
    )


def _is_certain(shape: Shape, column: int) -> bool:
    """Say whether the times of a column say their own offset from UTC."""
    words = set(folded(shape.names[column]).split()) if column < len(shape.names) else set()
    first = moment_in(shape.rows[0].cells[column])
    return bool(words & {"utc", "gmt"}) or bool(first and first.offset)


def _pair(shape: Shape, days: Sequence[int], times: Sequence[int]) -> tuple[int, ...]:
    running = [c for c in times if not _is_length(shape.names, c)]
    if len(days) != 1:
        return _which(shape, days)
    return (days[0], running[0]) if len(running) == 1 else _which(shape, times)


def _is_length(names: Sequence[str], column: int) -> bool:
    """Say whether a column of times holds how long something took, by its name."""
    words = set(folded(names[column]).split()) if column < len(names) else set()
    return bool(words & {"elapsed", "duration", "interval", "length", "lapse", "duracion"})


def _asked_times(shape: Shape, asked: str) -> tuple[int, ...]:
    column, key = column_named(shape.names, asked), shape.key
    if column in key.moments:
        return (column,)
    if column in key.times and len(key.days) == 1:
        return (key.days[0], column)
    raise ExchangeError(
        f"no column of times called {asked!r}",
        advice=f"one of {_list(shape, (*key.moments, *key.times))}",
    )


def _which(shape: Shape, columns: Sequence[int]) -> tuple[int, ...]:
    raise ExchangeError(
        f"several columns of times: {_list(shape, columns)}",
        advice=f"say which, as in --time-column '{shown_name(shape.names, columns[0])}'",
    )


def _list(shape: Shape, columns: Sequence[int]) -> str:
    return ", ".join(shown_name(shape.names, c) for c in columns)
