"""
Files of bookings named on the command line: how they are laid out, and reading them.

What reads files is imported when a file is read, so that a plan from the ledger starts fast.
"""

from dataclasses import dataclass
from typing import TYPE_CHECKING, Annotated, Literal
from zoneinfo import ZoneInfo

from cyclopts import Parameter

if TYPE_CHECKING:
    from thawline.exchange.bookings import ReadBookings


@Parameter(name="*")
@dataclass(frozen=True, kw_only=True)
class Layout:
    """
    How the file is laid out, where it cannot tell by itself.

    Parameters
    ----------
    date_order
        dmy, mdy or ymd.
    clock
        24, where the times are 24-hour times.
    sheet
        The sheet of a workbook.
    column
        A field and its column, as in name=Patient; may be repeated.
    encoding
        As in windows-1252.
    delimiter
        comma, semicolon, tab or bar.
    dose
        1 or 2, for everybody, where the file has no dose column.
    """

    date_order: Literal["dmy", "mdy", "ymd"] | None = None
    clock: str | None = None
    sheet: str | None = None
    column: Annotated[tuple[str, ...], Parameter(negative="")] = ()
    encoding: str | None = None
    delimiter: str | None = None
    dose: Literal[1, 2] | None = None


LAYOUT = Layout()


def read_file(file: str, zone: ZoneInfo, layout: Layout) -> "ReadBookings":
    """
    Return the bookings in a file, read as the options say.

    Raises:
        ExchangeError: It cannot be read, or something about it cannot be told.
        NotFoundError: There is no such file.
    """
    from thawline.adapters.tables import read_bytes, read_table  # noqa: PLC0415  as needed
    from thawline.exchange import bookings, columns, dates  # noqa: PLC0415  as needed

    named = columns.read_named(layout.column)
    order = None if layout.date_order is None else dates.DateOrder(layout.date_order)
    rows = read_table(
        read_bytes(file),
        columns.recogniser(named),
        sheet=layout.sheet,
        encoding=layout.encoding,
        delimiter=layout.delimiter,
    )
    return bookings.read_bookings(
        rows, zone, bookings.Choices(named, order, layout.clock, layout.dose)
    )
