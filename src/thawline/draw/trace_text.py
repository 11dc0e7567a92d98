"""
A temperature trace in plain characters for a terminal, at most a hundred columns wide.

The twin of the SVG, with the same logic: the band faint, limits strong, gaps hatched and never
bridged, time out of band marked on the limit, hand readings hollow, the same sentences.
"""

from collections.abc import Iterator
from dataclasses import dataclass
from textwrap import wrap

from thawline.base.instants import to_ms
from thawline.draw.peaks import columns
from thawline.draw.scales import Scale, degree_marks, time_marks
from thawline.draw.trace import (
    NOT_KNOWN,
    Gap,
    Trace,
    degrees,
    degrees_shown,
    gaps_shown,
    outside_says,
    pieces,
    span_says,
    times_of,
    zone_says,
)
from thawline.rules.cold import Side

WIDTH = 100
KEY = "* read   o by hand   - limit   = out of band, on its limit   / not known   . in band"
_LABEL = 9  # columns left of the picture
_ROWS = 16
_READ, _BY_HAND, _LIMIT, _OUT, _HATCH, _IN_BAND = "*", "o", "-", "=", "/", "."
_HATCH_EVERY, _BAND_EVERY = 3, 4
_MARKS = 11
_MC = 1_000


@dataclass(frozen=True, slots=True)
class _Sheet:
    """The characters of a picture, row by row from the top, and its two scales."""

    trace: Trace
    time: Scale
    heat: Scale
    rows: list[list[str]]
    across: int

    def column(self, at_ms: float) -> int:
        return min(int(self.time.at(at_ms)), self.across - 1)

    def row(self, celsius: float) -> int:
        return round(self.heat.at(celsius))

    def put(self, row: int, column: int, text: str) -> None:
        self.rows[row][column : column + len(text)] = text


def trace_text(trace: Trace, width: int = WIDTH) -> tuple[str, ...]:
    """Return the lines of the picture with its title above and its sentences below."""
    low, high = degrees_shown(trace)
    across = width - _LABEL - 1
    sheet = _Sheet(
        trace,
        Scale(to_ms(trace.since), to_ms(trace.until), 0, across),
        Scale(low, high, _ROWS - 1, 0),
        [[" "] * across for _ in range(_ROWS)],
        across,
    )
    _band(sheet)
    for gap in gaps_shown(trace):
        _gap(sheet, gap)
    _limits(sheet)
    _outside(sheet)
    _curve(sheet)
    _gap_words(sheet)
    _hand(sheet)
    return tuple(_page(sheet, width))


def _page(sheet: _Sheet, width: int) -> Iterator[str]:
    trace = sheet.trace
    if trace.demo:
        yield " DEMO ".center(width, "=")
    yield from wrap(f"{trace.title}, {span_says(trace)}", width)
    labels = _labels(sheet)
    for number, row in enumerate(sheet.rows):
        yield f"{labels.get(number, ''):>{_LABEL}} {''.join(row)}".rstrip()
    yield from _axis(sheet, width)
    yield KEY
    for run in trace.outside[:_RUNS_SAID]:
        yield f"{outside_says(trace, run)}."
    if more := len(trace.outside) - _RUNS_SAID if len(trace.outside) > _RUNS_SAID else 0:
        yield f"and {more:,} more runs out of band"
    for each in trace.says:
        yield from wrap(each, width, subsequent_indent="  ", break_on_hyphens=False)


_RUNS_SAID = 4


def _labels(sheet: _Sheet) -> dict[int, str]:
    """Return what stands left of the rows: limits before other degrees."""
    marks = degree_marks(sheet.heat.first, sheet.heat.last, _ROWS // 2)
    limits = _limits_shown(sheet)
    taken = {sheet.row(celsius) for celsius in limits}
    return {
        sheet.row(each.at): degrees(each.at)
        for each in marks
        if sheet.row(each.at) not in taken
    } | {sheet.row(celsius): degrees(celsius) for celsius in limits}


def _limits_shown(sheet: _Sheet) -> list[float]:
    ends = (sheet.trace.low_c, sheet.trace.high_c)
    return [c for c in ends if sheet.heat.first <= c <= sheet.heat.last]


def _band(sheet: _Sheet) -> None:
    top, bottom = sheet.row(sheet.trace.high_c), sheet.row(sheet.trace.low_c)
    for number in range(top, bottom + 1):
        for column in range(number % 2 * 2, sheet.across, _BAND_EVERY):
            sheet.put(number, column, _IN_BAND)


def _gap(sheet: _Sheet, gap: Gap) -> None:
    first, last = sheet.column(gap.from_ms), sheet.column(gap.to_ms)
    for number in range(_ROWS):
        for column in range(first, last + 1):
            hatched = (number + column) % _HATCH_EVERY == 0 or first == last
            sheet.put(number, column, _HATCH if hatched else " ")


def _gap_words(sheet: _Sheet) -> None:
    """Write what a gap is where there is room, else a question mark at its top."""
    for gap in gaps_shown(sheet.trace):
        first, last = sheet.column(gap.from_ms), sheet.column(gap.to_ms)
        says = (NOT_KNOWN, times_of(gap, sheet.trace.zone))
        room = last - first - 1
        if max(map(len, says)) <= room:
            for number, each in enumerate(says):
                sheet.put(number + 1, first + 1 + (room - len(each)) // 2, each)
        else:
            sheet.put(0, (first + last) // 2, "?")


def _limits(sheet: _Sheet) -> None:
    for celsius in _limits_shown(sheet):
        sheet.put(sheet.row(celsius), 0, _LIMIT * sheet.across)


def _outside(sheet: _Sheet) -> None:
    for run in sheet.trace.outside:
        limit = sheet.trace.high_c if run.side is Side.ABOVE else sheet.trace.low_c
        first, last = sheet.column(run.from_ms), sheet.column(run.to_ms)
        sheet.put(sheet.row(limit), first, _OUT * (last + 1 - first))


def _curve(sheet: _Sheet) -> None:
    """Write every reading's row, each column from its lowest to its highest."""
    trace = sheet.trace
    for piece in pieces(trace):
        for each in columns(piece, to_ms(trace.since), to_ms(trace.until), sheet.across):
            top, bottom = (sheet.row(mc / _MC) for mc in (each.highest_mc, each.lowest_mc))
            for number in range(top, bottom + 1):
                if sheet.rows[number][each.number] != _OUT or top == bottom:
                    sheet.put(number, each.number, _READ)


def _hand(sheet: _Sheet) -> None:
    hand = sheet.trace.hand()
    for at_ms, temp_mc in zip(hand.at_ms, hand.temp_mc, strict=True):
        sheet.put(sheet.row(temp_mc / _MC), sheet.column(int(at_ms)), _BY_HAND)


def _axis(sheet: _Sheet, width: int) -> Iterator[str]:
    trace = sheet.trace
    ticks, says = ["-"] * sheet.across, [" "] * width
    free = 0
    for mark in time_marks(trace.since, trace.until, trace.zone, _MARKS):
        column = sheet.column(mark.at)
        ticks[column] = "+"
        begins = min(_LABEL + 1 + column - len(mark.says) // 2, width - len(mark.says))
        if begins >= free:
            says[begins : begins + len(mark.says)] = mark.says
            free = begins + len(mark.says) + 1
    yield " " * (_LABEL + 1) + "".join(ticks)
    yield "".join(says).rstrip()
    yield zone_says(trace).rjust(width)
