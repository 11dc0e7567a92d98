"""
Plain tables and times for the terminal: aligned, no box drawing, at most 100 columns.

`-` means none and `?` means not known; a cell is never blank.
"""

from collections.abc import Sequence
from datetime import date, timedelta, tzinfo
from textwrap import TextWrapper

from thawline.base.durations import spoken
from thawline.base.instants import Instant, local_date, local_time

WIDTH = 100
NONE = "-"
UNKNOWN = "?"


def table(
    header: Sequence[str], rows: Sequence[Sequence[str]], right: Sequence[int] = ()
) -> str:
    """
    Return an aligned table; the widest column is shortened in the middle to fit.

    Args:
        header: One name a column, with units.
        rows: Cells as text.
        right: Numbers of the columns set flush right.
    """
    grid = [list(header), *(list(row) for row in rows)]
    widths = [max(len(row[column]) for row in grid) for column in range(len(header))]
    over = sum(widths) + 2 * (len(widths) - 1) - WIDTH
    if over > 0:
        widest = widths.index(max(widths))
        widths[widest] = max(widths[widest] - over, 8)
        for row in grid:
            row[widest] = shortened(row[widest], widths[widest])
    return "\n".join(_line(row, widths, right) for row in grid)


def shortened(text: str, width: int) -> str:
    """Return the text with its middle left out where it is wider."""
    if len(text) <= width:
        return text
    head = (width - 1) // 2
    return f"{text[:head]}…{text[len(text) - (width - 1 - head) :]}"


def clock_time(at: Instant | None, zone: tzinfo, today: date | None = None) -> str:
    """Return 16:02, with the day in front, and the year, where it is another; `-` for none."""
    if at is None:
        return NONE
    day = local_date(at, zone)
    shown = local_time(at, zone).strftime("%H:%M")
    if day == today:
        return shown
    year = "" if today is None or today.year == day.year else f" {day.year}"
    return f"{day_name(day)}{year} {shown}"


def day_name(day: date) -> str:
    """Return a date as people say it: Tue 3 Feb."""
    return f"{day.strftime('%a')} {day.day} {day.strftime('%b')}"


def time_left(left: timedelta | None) -> str:
    """Return a length in words, `-` for none."""
    return NONE if left is None else spoken(left)


def wrapped(text: str, indent: int = 0) -> str:
    """Return the text in lines of at most the width, the second and later ones indented."""
    lines = TextWrapper(WIDTH, subsequent_indent=" " * indent, break_long_words=False)
    lines.break_on_hyphens = False
    return lines.fill(text)


def counted(count: int, one: str, many: str | None = None) -> str:
    """Return "1 dose", "22 doses", "1,920 people"."""
    return f"{count:,} {one if count == 1 else many or one + 's'}"


def _line(row: Sequence[str], widths: Sequence[int], right: Sequence[int]) -> str:
    cells = (
        cell.rjust(width) if column in right else cell.ljust(width)
        for column, (cell, width) in enumerate(zip(row, widths, strict=True))
    )
    return "  ".join(cells).rstrip()
