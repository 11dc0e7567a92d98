"""
How a logger file is laid out: each part seen in its head, or asked for, and shown in words.

The parts are told one after the other: what parts the cells, which columns are times and
temperatures, the unit, the order of the dates, the clock, the zone. A part that two readings of
the file would tell differently is asked for by its option.
"""

from collections.abc import Iterator, Sequence

from thawline.base.errors import ExchangeError
from thawline.exchange.encodings import Decoded, decoded
from thawline.exchange.loggers.asked import Asked
from thawline.exchange.loggers.cells import number_in
from thawline.exchange.loggers.layout import Layout, Probe, TimeFormat, Unit
from thawline.exchange.loggers.lines import Row, lines_of
from thawline.exchange.loggers.probes import Columns, columns_of, name_of
from thawline.exchange.loggers.said import Said
from thawline.exchange.loggers.shape import (
    Shape,
    chosen_times,
    column_named,
    shape_of,
    shown_name,
)
from thawline.exchange.loggers.stated import stated_drift, stated_interval, stated_order
from thawline.exchange.loggers.times import (
    Dated,
    Timed,
    is_iso,
    moment_of,
    settled_clock,
    settled_order,
    timed_rows,
)
from thawline.exchange.loggers.units import (
    restated_units,
    settled_unit,
    stated_units,
    two_units,
    unit_of_name,
    units_behind_values,
)
from thawline.exchange.loggers.zones import Zone, shown_zone, stated_zone
from thawline.exchange.tables import DELIMITERS

_SHOWN_UNIT = {Unit.CELSIUS: "°C", Unit.FAHRENHEIT: "°F"}
_ASK_ZONE = (
    "say --zone with the place's name, as in --zone America/Chicago, or --zone UTC, "
    "or name a site with --site"
)


def layout_of(head: bytes, asked: Asked) -> Layout:
    """
    Return how a logger file is written.

    Args:
        head: The file, or its beginning up to the end of a line.
        asked: What the person said.

    Raises:
        ExchangeError: Some part of it cannot be told, or contradicts what was asked.
    """
    found = decoded(head, asked.encoding)
    shape = shape_of(lines_of(found.text), asked)
    times = chosen_times(shape, asked)
    columns = columns_of(shape, times, asked.probe)
    rows = timed_rows(shape.rows, times)
    probes, unit_words = _probes(shape, columns, asked)
    dated, form = _time_format(shape, times, rows, asked)
    zone_words = _zone_words(shape, times, form, asked)
    comma = _decimal_comma(shape, columns, asked)
    interval = stated_interval(shape.above)
    read_as = (
        dated.shown,
        *unit_words,
        zone_words,
        "12-hour times with AM and PM" if form.twelve_hours else "24-hour times",
        *(["decimal comma"] if comma else []),
        *_separated(shape, found),
    )
    return Layout(
        encoding=found.codec,
        delimiter=shape.delimiter,
        first_line=_first_line(shape, times),
        time=form,
        probes=probes,
        decimal_comma=comma,
        drift=stated_drift(shape.above),
        stated_interval=interval,
        read_as=read_as,
        probe_names=columns.probe_names,
        unread=columns.unread,
    )


def _first_line(shape: Shape, times: Sequence[int]) -> int:
    """Return the line of the first row with a time below the header, whatever its value."""
    if shape.header_line is not None:
        for row in shape.above:
            if row.line > shape.header_line and moment_of(row.cells, times):
                return row.line
    return shape.rows[0].line


def _separated(shape: Shape, found: Decoded) -> Iterator[str]:
    yield next(name for name, mark in DELIMITERS.items() if mark == shape.delimiter)
    yield found.encoding


def _probes(
    shape: Shape, columns: Columns, asked: Asked
) -> tuple[tuple[Probe, ...], list[str]]:
    """Return the probes whose unit is known, and the units in words."""
    wanted = columns.temperatures
    if asked.probe is not None:
        column = column_named(shape.names, asked.probe)
        named = [c for c in wanted if name_of(shape.names, c).lower() == asked.probe.lower()]
        wanted = (column,) if column in wanted else tuple(named) or wanted
    probes: list[Probe] = []
    words: dict[str, str] = {}
    for column in wanted:
        name = name_of(shape.names, column)
        unit, evidence = _unit(shape, column, asked)
        probes.append(Probe(column, name, unit))
        words.setdefault(f"{_SHOWN_UNIT[unit]} ({evidence})", name)
    return tuple(probes), list(words)


def _unit(shape: Shape, column: int, asked: Asked) -> tuple[Unit, str]:
    name = shown_name(shape.names, column)
    others = [n for c, n in enumerate(shape.names) if c != column]
    behind = units_behind_values(shape.rows, column)
    strong = behind[:1] + [each for each in behind if each.value is not behind[0].value][:1]
    of_name = unit_of_name(name, others)
    if of_name is not None and shape.header_line is not None:
        strong.insert(0, Said(of_name, shape.header_line, name))
    stated, with_limits = stated_units(shape.above)
    unit, said = settled_unit(
        strong or stated, [*(stated if strong else []), *with_limits], asked.unit, name
    )
    _refuse_second_unit(shape, said or Said(unit, shape.rows[0].line, "as asked"))
    return unit, "asked" if said is None else said.shown()


def _refuse_second_unit(shape: Shape, said: Said[Unit]) -> None:
    """Refuse a file in which a line below the first reading states another unit."""
    for other in restated_units(shape.below):
        if other.value is not said.value:
            raise two_units(said, other)


def _time_format(
    shape: Shape, times: tuple[int, ...], rows: Sequence[Timed], asked: Asked
) -> tuple[Dated, TimeFormat]:
    header = [Row(shape.header_line, shape.names)] if shape.header_line is not None else []
    stated = stated_order([*header, *shape.above])
    dated = settled_order(rows, asked.date_order, stated)
    sure = stated is not None or is_iso(rows)
    twelve = settled_clock(rows, asked.clock, twenty_four=sure)
    carries = all(row.moment.offset for row in rows)
    zone = None if carries else _zone(shape, times, asked)
    return dated, TimeFormat(times, dated.order, twelve, carries, zone)


def _zone(shape: Shape, times: Sequence[int], asked: Asked) -> Zone:
    said = _said_zone(shape, times)
    if said is None and asked.zone is None:
        raise ExchangeError(
            "no time zone: nothing says where the times are local", advice=_ASK_ZONE
        )
    if said is None:
        assert asked.zone is not None  # noqa: S101  looked at above; for the types
        return asked.zone
    if (
        asked.zone is not None
        and asked.zone_is == "asked"
        and not _same(asked.zone, said.value)
    ):
        raise ExchangeError(
            f"--zone {shown_zone(asked.zone)} was given, but the file says "
            f"{shown_zone(said.value)} ({said.shown()})",
            advice="leave out --zone, or look whether this is the right file",
        )
    return said.value


def _said_zone(shape: Shape, times: Sequence[int]) -> Said[Zone] | None:
    names = [
        Said(shape.names[c], shape.header_line or 0, shape.names[c])
        for c in times
        if c < len(shape.names)
    ]
    return stated_zone(shape.above, names)


def _same(asked: Zone, said: Zone) -> bool:
    """Say whether a zone that was asked for can be the one the file states."""
    return shown_zone(asked) == shown_zone(said)


def _zone_words(shape: Shape, times: Sequence[int], form: TimeFormat, asked: Asked) -> str:
    if form.zone is None:
        return "each time with its offset from UTC"
    said = _said_zone(shape, times)
    return f"{shown_zone(form.zone)} ({said.shown() if said else asked.zone_is})"


def _decimal_comma(shape: Shape, columns: Columns, asked: Asked) -> bool:
    """
    Return whether decimals follow a comma.

    Raises:
        ExchangeError: Some follow a comma and some a point.
    """
    numbers = [
        (row.line, number.text)
        for row in shape.rows
        for c in columns.temperatures
        if c < len(row.cells) and (number := number_in(row.cells[c]))
    ]
    comma = next(((line, text) for line, text in numbers if "," in text), None)
    point = next(((line, text) for line, text in numbers if "." in text), None)
    if asked.decimal is not None:
        return asked.decimal == "comma"
    if comma and point:
        raise ExchangeError(
            f"line {comma[0]}: {comma[1]!r} and line {point[0]}: {point[1]!r}: decimals after "
            "a comma and after a point",
            advice="say --decimal comma or --decimal point; the others are then not read",
        )
    return comma is not None
