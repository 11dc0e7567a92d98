"""The date and time of a booking, from one cell or from two, at the site's own place."""

import re
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from datetime import UTC, date, datetime, time, timedelta
from decimal import Decimal
from zoneinfo import ZoneInfo

from thawline.base.errors import ExchangeError, ThawlineError
from thawline.base.instants import Instant, instant, local_instant
from thawline.exchange.clock_times import Dial, WrittenTime, read_time, settle_dial
from thawline.exchange.column_names import Field
from thawline.exchange.columns import Layout
from thawline.exchange.dates import (
    SHOWN,
    DateOrder,
    WrittenDate,
    has_short_year,
    readings,
    settle,
    shown_order,
)
from thawline.exchange.tables import Cell, Row

_WITH_OFFSET = re.compile(r"\d{4}-\d{2}-\d{2}[T ]\d{2}:\d{2}.*(?:Z|[+-]\d{2}:?\d{2})", re.ASCII)
_IN_TWO = re.compile(
    r"(?P<day>.*?\S)(?:T|,?\s+)"
    r"(?P<time>\d{1,2}(?:[:.]\d{2}\S*|\s?h\s?\d{0,2})(?:\s?[ap]\.?\s?m\.?)?|\d{1,2}\s?[ap]\.?\s?m\.?)",
    re.ASCII | re.IGNORECASE,
)
_HALF_SECOND = timedelta(milliseconds=500)


@dataclass(frozen=True, slots=True)
class Written:
    """How the dates and times of one file are written."""

    order: DateOrder
    dial: Dial
    shown: tuple[str, ...]

    def day(self, cell: Cell) -> date | None:
        """Return the date in a cell; None when it is none in this file's order."""
        if isinstance(cell, datetime):
            return _rounded(cell).date()
        if isinstance(cell, date):
            return cell
        return readings(cell).get(self.order) if isinstance(cell, str) else None

    def time(self, cell: Cell) -> time | None:
        """Return the time of day in a cell; None when it is none."""
        if isinstance(cell, datetime):
            return _rounded(cell).time()
        if isinstance(cell, time):
            return _rounded(datetime.combine(date.min, cell, tzinfo=UTC)).time()
        return read_time(cell, self.dial) if isinstance(cell, str) else None


def settle_writing(
    rows: Sequence[Row], layout: Layout, order: DateOrder | None, clock: str | None
) -> Written:
    """
    Return how a file's dates and times are written, from all its rows together.

    Raises:
        ExchangeError: It cannot be told, and neither order nor clock was said.
    """
    if clock not in (None, "24"):
        raise ExchangeError(
            f"unknown clock: {clock!r}", advice="--clock 24, or AM and PM in the file"
        )
    dates = list(_dates(rows, layout))
    times = list(_times(rows, layout))
    chosen = settle(dates, order)
    dial = settle_dial(times, clock)
    shown = (
        shown_order(dates, chosen) if dates else "dates as the spreadsheet has them",
        dial.shown() if times else "times as the spreadsheet has them",
    )
    return Written(chosen, dial, shown)


def slot(row: Row, layout: Layout, written: Written, zone: ZoneInfo) -> Instant:
    """
    Return the instant of a row's booking.

    Raises:
        ThawlineError: There is none, or it cannot be read, or the clocks skip or repeat it.
    """
    if Field.SLOT in layout.at:
        return _of_one(layout.cell(row, Field.SLOT), written, zone)
    day, at = layout.cell(row, Field.DATE), layout.cell(row, Field.TIME)
    return local_instant(_day(day, written), _clock_time(at, written), zone)


def _of_one(cell: Cell, written: Written, zone: ZoneInfo) -> Instant:
    if isinstance(cell, datetime):
        whole = _rounded(cell)
        return local_instant(whole.date(), whole.time(), zone)
    if not isinstance(cell, str):
        raise ExchangeError(f"no date and time of booking: {_shown(cell)}")
    if _WITH_OFFSET.fullmatch(cell):
        return _of_iso(cell)
    match = _IN_TWO.fullmatch(cell)
    if match is None:
        raise ExchangeError(f"no date and time of booking: {_shown(cell)}")
    return local_instant(_day(match["day"], written), _clock_time(match["time"], written), zone)


def _of_iso(text: str) -> Instant:
    try:
        return instant(datetime.fromisoformat(text))
    except (ValueError, OverflowError, ThawlineError) as error:
        raise ExchangeError(f"no date and time of booking: {_shown(text)}") from error


def _day(cell: Cell, written: Written) -> date:
    day = written.day(cell)
    if day is None:
        raise ExchangeError(f"no {SHOWN[written.order]} date of booking: {_shown(cell)}")
    return day


def _clock_time(cell: Cell, written: Written) -> time:
    at = written.time(cell)
    if at is None:
        raise ExchangeError(f"no time of booking ({written.dial.shown()}): {_shown(cell)}")
    return at


def _dates(rows: Sequence[Row], layout: Layout) -> Iterator[WrittenDate]:
    for row in rows:
        for field in (Field.SLOT, Field.DATE, Field.BORN):
            cell = layout.cell(row, field)
            if not isinstance(cell, str) or not cell:
                continue
            if field is Field.BORN and has_short_year(cell):
                continue
            match = _IN_TWO.fullmatch(cell) if field is Field.SLOT else None
            yield WrittenDate(row.line, match["day"] if match else cell)


def _times(rows: Sequence[Row], layout: Layout) -> Iterator[WrittenTime]:
    for row in rows:
        slot_cell, at = layout.cell(row, Field.SLOT), layout.cell(row, Field.TIME)
        if isinstance(slot_cell, str) and _WITH_OFFSET.fullmatch(slot_cell):
            continue
        if isinstance(slot_cell, str) and (match := _IN_TWO.fullmatch(slot_cell)):
            yield WrittenTime(row.line, match["time"])
        if isinstance(at, str) and at:
            yield WrittenTime(row.line, at)


def _rounded(moment: datetime) -> datetime:
    """Return the nearest whole second: spreadsheets keep times as fractions of a day."""
    nearest = moment + _HALF_SECOND if moment.microsecond else moment
    return nearest.replace(microsecond=0)


def _shown(cell: Cell) -> str:
    if cell == "":
        return "the cell is empty"
    return f"{cell:f}" if isinstance(cell, Decimal) else repr(str(cell)[:40])
