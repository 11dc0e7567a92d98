"""Options for reading logger files: how a file is laid out, and what it is held to."""

from dataclasses import dataclass
from datetime import timedelta
from decimal import Decimal
from typing import TYPE_CHECKING, Annotated, Literal

from cyclopts import Parameter

from thawline.base.errors import ExchangeError
from thawline.base.instants import zone_named
from thawline.cli.options import Number
from thawline.exchange.dates import DateOrder

if TYPE_CHECKING:
    from zoneinfo import ZoneInfo

    from thawline.exchange.loggers.asked import Asked


@Parameter(name="*")
@dataclass(frozen=True, kw_only=True)
class FileLayout:
    """
    How a logger's file is laid out, where it cannot tell by itself.

    Parameters
    ----------
    degrees
        C or F: the unit of its temperatures.
    zone
        The IANA time zone of its times, as in America/Chicago; the site's where there is one.
    date_order
        dmy, mdy or ymd.
    clock
        24, where the times are 24-hour times; 12, with AM and PM.
    decimal
        comma or point.
    probe
        Name or number of the column of temperatures, or of the probe in its rows.
    time_column
        Name or number of the column of times.
    delimiter
        comma, semicolon, tab or bar.
    encoding
        As in windows-1252.
    sheet
        The sheet of a workbook.
    """

    degrees: Literal["C", "F"] | None = None
    zone: str | None = None
    date_order: Literal["dmy", "mdy", "ymd"] | None = None
    clock: Literal["12", "24"] | None = None
    decimal: Literal["comma", "point"] | None = None
    probe: str | None = None
    time_column: str | None = None
    delimiter: str | None = None
    encoding: str | None = None
    sheet: str | None = None


@Parameter(name="*")
@dataclass(frozen=True, kw_only=True)
class LoggerLayout(FileLayout):
    """
    The same for commands that take a file and no storage unit.

    Parameters
    ----------
    degrees
        C or F: the unit of its temperatures; --degrees is the same, as other commands say it.
    """

    degrees: Annotated[Literal["C", "F"] | None, Parameter(name=("--unit", "--degrees"))] = None


@Parameter(name="*")
@dataclass(frozen=True, kw_only=True)
class HeldTo:
    """
    What the record is held to.

    Parameters
    ----------
    band
        fridge, frozen, another band of the protocol, or LO..HI in °C, as in 2..8.
    accuracy_c
        How far the logger may be off, in °C; the protocol's if left out.
    protocol
        A protocol id or file; the site's, or the published guidance in force, if left out.
    site
        A site whose time zone and protocol count.
    """

    band: str | None = None
    accuracy_c: Annotated[Number, Parameter(name=("--accuracy-c", "--accuracy"))] = None
    protocol: str | None = None
    site: str | None = None


@Parameter(name="*")
@dataclass(frozen=True, kw_only=True)
class ReadTo(HeldTo):
    """
    What the record is held to, and what its gaps are measured by.

    Parameters
    ----------
    interval
        Minutes between readings; the shorter of stated and usual if left out.
    """

    interval: Number = None


LAYOUT, HELD_TO, AS_IT_IS = LoggerLayout(), ReadTo(), FileLayout()


def asked_of(layout: FileLayout, site_zone: "ZoneInfo | None") -> "Asked":
    """Return what was said about the layout; a site's zone counts where none was typed."""
    from thawline.exchange.loggers.asked import Asked  # noqa: PLC0415  as needed
    from thawline.exchange.loggers.layout import Unit  # noqa: PLC0415  as needed

    typed = None if layout.zone is None else zone_named(layout.zone)
    return Asked(
        unit=None if layout.degrees is None else Unit(layout.degrees),
        zone=typed or site_zone,
        zone_is="the site's" if typed is None else "asked",
        date_order=None if layout.date_order is None else DateOrder(layout.date_order),
        clock=layout.clock,
        decimal=layout.decimal,
        delimiter=layout.delimiter,
        encoding=layout.encoding,
        probe=layout.probe,
        time_column=layout.time_column,
    )


def interval_of(minutes: Decimal | None) -> timedelta | None:
    """
    Return the interval that was typed.

    Raises:
        ExchangeError: It is not more than nothing, or longer than a day.
    """
    if minutes is None:
        return None
    length = timedelta(minutes=float(minutes))
    if not timedelta() < length <= timedelta(days=1):
        raise ExchangeError(
            f"not an interval between readings: {minutes} min", advice="as in --interval 15"
        )
    return length
