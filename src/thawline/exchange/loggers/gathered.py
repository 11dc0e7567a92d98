"""
Readings as they are gathered from the lines of a file, one by one or many at once.

What a text means is remembered: the same dates, times of day and temperatures come again.
"""

from array import array
from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass, field
from decimal import ROUND_HALF_EVEN, Decimal

import numpy as np
from numpy.typing import NDArray

from thawline.base.errors import ExchangeError
from thawline.exchange.columns import folded
from thawline.exchange.dates import DateOrder
from thawline.exchange.dates import readings as meanings
from thawline.exchange.loggers.cells import Number, ms_of_day, ms_of_offset, number_in
from thawline.exchange.loggers.layout import Layout, Unit
from thawline.exchange.loggers.lines import Block, Row, cells_of
from thawline.exchange.loggers.plain_plan import OddLine, PlainBlock
from thawline.exchange.loggers.plain_plan import Why as Odd
from thawline.exchange.loggers.record import Chosen, NotRead, Record, Why
from thawline.exchange.loggers.said import Said, short
from thawline.exchange.loggers.times import moment_of
from thawline.exchange.loggers.units import restated_units, two_units
from thawline.exchange.loggers.wall_times import placed, wall_ms
from thawline.store.readings import Readings, Temperatures

MOST_LISTED = 200  # lines that are listed one by one; the rest are counted
MOST_READINGS = 5_000_000  # a technical limit: nine years of one reading a minute
_MOST_DEGREES = 10_000  # no sensor says more; a technical limit of the whole numbers kept
_MOST_KEPT = 100_000  # different texts whose meaning is remembered
_PER_DEGREE = 1000
_EPOCH_DAY = 719_163  # the day number of 1 January 1970 in the calendar
_DAY_MS = 86_400_000


@dataclass(slots=True)
class Gathered:
    """Readings as they are gathered line by line."""

    layout: Layout
    chosen: Chosen
    times_ms: "array[int]" = field(default_factory=lambda: array("q"))
    temps_mc: "array[int]" = field(default_factory=lambda: array("i"))
    lines: "array[int]" = field(default_factory=lambda: array("q"))
    unplaced_mc: "array[int]" = field(default_factory=lambda: array("i"))
    not_read: list[NotRead] = field(default_factory=list)
    counts: Counter[Why] = field(default_factory=Counter)
    names: dict[str, str] = field(default_factory=dict)
    width: int = field(init=False)
    decimals: int = field(init=False)
    starts_unread: bool = False
    trailing: int = 0
    _days: dict[str, int] = field(default_factory=dict)
    _clocks: dict[str, int] = field(default_factory=dict)
    _values: dict[str, int | None] = field(default_factory=dict)

    def __post_init__(self) -> None:
        self.width, self.decimals = self.layout.cells

    def take(self, block: Block) -> None:
        """Take the lines of a block."""
        last = len(block.lines) - 1
        for offset, text in enumerate(block.lines):
            line = block.first + offset
            if line >= self.layout.first_line and text and not text.isspace():
                is_open = block.open_ended and offset == last
                self._take_line(line, text, is_open=is_open)
        self._check_length()

    def take_plain(self, block: PlainBlock, first: int) -> None:
        """Take the readings of lines read in bulk, and the odd lines in their places."""
        odd_places = [odd.line - first for odd in block.odd]
        numbers = np.delete(np.arange(first, first + block.lines), odd_places)
        zone, at_ms = self.layout.time.zone, block.raw.at_ms
        times = at_ms if zone is None else wall_ms(at_ms, zone)
        bulk = (times, block.raw.temp_mc, numbers)
        done = 0
        for odd in block.odd:
            self._take_bulk(bulk, done, odd.before)
            done = odd.before
            text = odd.text.decode(self.layout.encoding, "replace").rstrip("\r")
            if text and not text.isspace():
                self._take_line(odd.line, text, is_open=odd.why is Odd.NO_END)
        self._take_bulk(bulk, done, len(at_ms))
        self._check_length()

    def take_odd(self, odd: OddLine) -> tuple[int, int] | None:
        """
        Return the instant and temperature of one line that a bulk reader left out.

        None where it gives none; then it is listed and counted. A local hour that comes twice
        stays unclear: the lines around it are not seen here.
        """
        text = odd.text.decode(self.layout.encoding, "replace").rstrip("\r")
        self._take_line(odd.line, text, is_open=odd.why is Odd.NO_END)
        if not self.times_ms:
            return None
        at = np.array([self.times_ms.pop()], dtype=np.int64)
        temp = np.array([self.temps_mc.pop()], dtype=np.int32)
        line = np.array([self.lines.pop()], dtype=np.int64)
        if self.layout.time.zone is not None:
            at, temp, line = self._instants(at, temp, line)
        return (int(at[0]), int(temp[0])) if len(at) else None

    def record(self) -> Record:
        """Return what was gathered, its times as instants."""
        self._check_names()
        times = np.frombuffer(self.times_ms, dtype=np.int64) if self.times_ms else _NONE
        temps = np.array(self.temps_mc, dtype=np.int32)
        lines = np.array(self.lines, dtype=np.int64)
        if self.layout.time.zone is not None:
            times, temps, lines = self._instants(times, temps, lines)
        if not len(times) and not self.unplaced_mc:
            raise ExchangeError("no readings", advice="look at the file; export it again")
        return Record(
            self.chosen.probe,
            next(iter(self.names.values()), self.chosen.probe.name),
            Readings(times, temps),
            lines,
            tuple(sorted(self.not_read, key=lambda each: each.line)),
            self.counts,
            np.array(self.unplaced_mc, dtype=np.int32),
            self.starts_unread or self.trailing > 0,
            self.decimals,
        )

    def _take_bulk(
        self,
        bulk: tuple[NDArray[np.int64], Temperatures, NDArray[np.int64]],
        start: int,
        end: int,
    ) -> None:
        """Take some readings of a block as they are."""
        if start < end:
            times, temps, lines = bulk
            self.times_ms.frombytes(times[start:end].tobytes())
            self.temps_mc.frombytes(temps[start:end].tobytes())
            self.lines.frombytes(lines[start:end].tobytes())
            self.trailing = 0

    def _check_length(self) -> None:
        if len(self.temps_mc) > MOST_READINGS:
            raise ExchangeError(
                f"more than {MOST_READINGS:,} readings", advice="split the file by year"
            )

    def _take_line(self, line: int, text: str, *, is_open: bool) -> None:
        cells = cells_of(text, self.layout.delimiter)
        if not self._is_wanted(cells):
            return
        column = self.chosen.probe.column
        cell = cells[column] if column < len(cells) else ""
        temp = self._value(cell, line)
        if is_open and not self._is_whole(cells, cell):
            self._leave(NotRead(line, text, Why.CUT_OFF))
            return
        at = self._time(cells)
        if self._is_wide(cells) and at is not None:
            self._leave_without(line, text, Why.WIDE)
            return
        if at is None:
            self._refuse_second_unit(line, cells)
            self._leave(
                NotRead(line, text, Why.NO_TIME, temp if self._has_time(cells) else None)
            )
        elif temp is None:
            self._leave_without(line, text, self._why_none(cells))
        else:
            self.times_ms.append(at)
            self.temps_mc.append(temp)
            self.lines.append(line)
            self.width = max(self.width, len(cells))
            self.trailing = 0

    def _leave_without(self, line: int, text: str, why: Why) -> None:
        """Leave a row that has a time and no temperature."""
        self._leave(NotRead(line, text, why))
        if why is not Why.EVENT:
            self.starts_unread = self.starts_unread or not self.temps_mc
            self.trailing += 1

    def _why_none(self, cells: Sequence[str]) -> Why:
        return Why.EVENT if self._is_event(cells) else Why.NO_VALUE

    def _is_wide(self, cells: Sequence[str]) -> bool:
        width = self.layout.width
        return width is not None and len(cells) > width and any(cells[width:])

    def _is_event(self, cells: Sequence[str]) -> bool:
        """Say whether a row has words in another cell, and nothing where the temperature is."""
        column = self.chosen.probe.column
        known = {*self.layout.time.columns, column, self.layout.probe_names}
        others = [cell for c, cell in enumerate(cells) if c not in known and cell]
        is_blank = column >= len(cells) or not cells[column]
        return is_blank and any(number_in(cell) is None for cell in others)

    def _refuse_second_unit(self, line: int, cells: Sequence[str]) -> None:
        """Refuse a file that goes on in another unit below a second header."""
        unit = self.chosen.probe.unit
        for other in restated_units([Row(line, cells)]):
            if other.value is not unit:
                first = Said(unit, self.layout.first_line, self.chosen.probe.name)
                raise two_units(first, other)

    def _leave(self, left: NotRead) -> None:
        self.counts[left.why] += 1
        if left.temp_mc is not None:
            self.unplaced_mc.append(left.temp_mc)
        if len(self.not_read) < MOST_LISTED:
            shown = NotRead(left.line, short(left.text), left.why, left.temp_mc)
            self.not_read.append(shown)

    def _is_wanted(self, cells: Sequence[str]) -> bool:
        """Say whether a row is about the probe that is read."""
        column = self.layout.probe_names
        if column is None or column >= len(cells) or self._time(cells) is None:
            return True
        name = cells[column]
        if self.chosen.name is not None and folded(name) != folded(self.chosen.name):
            return False
        self.names.setdefault(folded(name), name)
        return True

    def _check_names(self) -> None:
        wanted = self.chosen.name
        if wanted is not None and not self.names:
            raise ExchangeError(f"no row about a probe called {wanted!r}", advice="see --probe")
        if wanted is None and len(self.names) > 1:
            first, *others = list(self.names.values())[:_SHOWN_NAMES]
            raise ExchangeError(
                f"several probes; there are: {', '.join([first, *others])}",
                advice=f"say which, as in --probe '{first}'",
            )

    def _value(self, cell: str, line: int) -> int | None:
        if cell in self._values:
            return self._values[cell]
        temp = self._value_anew(cell, line)
        if len(self._values) >= _MOST_KEPT:
            self._values.clear()
        self._values[cell] = temp
        return temp

    def _value_anew(self, cell: str, line: int) -> int | None:
        number = number_in(cell)
        if number is None or number.unit == "%":
            return None
        if ("," if self.layout.decimal_comma else ".") not in number.text and _has_mark(number):
            return None
        unit = self.chosen.probe.unit
        if number.unit in ("C", "F") and number.unit != unit:
            first = Said(unit, self.layout.first_line, self.chosen.probe.name)
            raise two_units(first, Said(Unit(number.unit), line, cell))
        self.decimals = max(self.decimals, number.decimals())
        return thousandths(number.text, unit)

    def _time(self, cells: Sequence[str]) -> int | None:
        columns = self.layout.time.columns
        if len(cells) <= max(columns):
            return None
        day, clock = _two_texts([cells[c] for c in columns])
        start, of_day = self._days.get(day), self._clocks.get(clock)
        if start is not None and of_day is not None:
            return start + of_day
        return self._time_anew(cells, day, clock)

    def _time_anew(self, cells: Sequence[str], day: str, clock: str) -> int | None:
        """Read a time from its parts, and remember the parts where they are the two texts."""
        form = self.layout.time
        moment = moment_of(cells, form.columns)
        if moment is None or bool(moment.offset) is not form.offset_in_text:
            return None
        start = day_ms(moment.day, form.order)
        of_day = ms_of_day(moment.time, twelve_hours=form.twelve_hours)
        offset = ms_of_offset(moment.offset) if moment.offset else 0
        if start is None or of_day is None or offset is None:
            return None
        if len(self._clocks) >= _MOST_KEPT:
            self._clocks.clear()
            self._days.clear()
        if moment.day == day and moment.time + moment.offset == clock:
            self._days[day], self._clocks[clock] = start, of_day - offset
        return start + of_day - offset

    def _has_time(self, cells: Sequence[str]) -> bool:
        """Say whether a row without a readable time has something where the time stands."""
        columns = self.layout.time.columns
        column = self.chosen.probe.column
        return len(cells) > max(*columns, column) and any(
            letter.isdigit() for c in columns for letter in cells[c]
        )

    def _is_whole(self, cells: Sequence[str], cell: str) -> bool:
        """Say whether a last line without an end lacks nothing that matters."""
        number = number_in(cell)
        last = len(cells) - 1
        if number is None or len(cells) < self.width or last in self.layout.time.columns:
            return False
        if self.chosen.probe.column < last or number.unit:
            return True
        return 0 < self.decimals == number.decimals()

    def _instants(
        self, local: NDArray[np.int64], temps: Temperatures, lines: NDArray[np.int64]
    ) -> tuple[NDArray[np.int64], Temperatures, NDArray[np.int64]]:
        """Return times, temperatures and lines of the readings whose time is an instant."""
        zone = self.layout.time.zone
        assert zone is not None  # noqa: S101  looked at before
        found = placed(local, zone)
        for mask, why in ((found.skipped, Why.SKIPPED), (found.unclear, Why.REPEATED)):
            for row in np.flatnonzero(mask):
                text = str(local[row].astype("datetime64[ms]").astype("datetime64[s]"))
                self._leave(NotRead(int(lines[row]), text, why, int(temps[row])))
        known = ~(found.skipped | found.unclear)
        return found.at_ms[known], temps[known], lines[known]


_NONE = np.zeros(0, dtype=np.int64)
_SHOWN_NAMES = 20
_ISO_DAY = len("2026-02-03")


def day_ms(text: str, order: DateOrder) -> int | None:
    """Return the local midnight of a written date in milliseconds; None if it is no date."""
    day = meanings(text).get(order)
    return None if day is None else (day.toordinal() - _EPOCH_DAY) * _DAY_MS


def _two_texts(cells: Sequence[str]) -> tuple[str, str]:
    """Return the texts of date and time, from two cells or from one with a space or a T."""
    if len(cells) > 1:
        return cells[0], cells[1]
    [cell] = cells
    if cell[_ISO_DAY : _ISO_DAY + 1] == "T":
        return cell[:_ISO_DAY], cell[_ISO_DAY + 1 :]
    day, _, clock = cell.partition(" ")
    return day, clock


def _has_mark(number: Number) -> bool:
    return "," in number.text or "." in number.text


def thousandths(text: str, unit: Unit) -> int | None:
    """Return a temperature in whole thousandths of °C, to the nearest; None if it is none."""
    value = Decimal(text.replace(",", "."))
    if abs(value) >= _MOST_DEGREES:
        return None
    in_c = value if unit is Unit.CELSIUS else (value - 32) / Decimal("1.8")
    return int((in_c * _PER_DEGREE).to_integral_value(ROUND_HALF_EVEN))
