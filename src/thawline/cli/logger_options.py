"""Options for reading logger files: how a file is laid out, and what it is held to."""

import re
from dataclasses import dataclass
from datetime import timedelta
from decimal import Decimal
from typing import TYPE_CHECKING, Literal

from cyclopts import Parameter

from thawline.base.errors import ExchangeError
from thawline.base.instants import zone_named
from thawline.cli.options import Number
from thawline.exchange.dates import DateOrder
from thawline.rules.protocol import Band, Protocol

if TYPE_CHECKING:
    from zoneinfo import ZoneInfo

    from thawline.exchange.loggers.asked import Asked

_BANDS = {"fridge": "refrigerator", "frozen": "frozen", "room": "room"}
_TYPED = re.compile(r"([+-]?\d{1,3}(?:\.\d{1,3})?)\.\.([+-]?\d{1,3}(?:\.\d{1,3})?)", re.ASCII)


@Parameter(name="*")
@dataclass(frozen=True, kw_only=True)
class LoggerLayout:
    """
    How the file is laid out, where it cannot tell by itself.

    Parameters
    ----------
    unit
        C or F.
    zone
        The IANA time zone of its times, as in America/Chicago.
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

    unit: Literal["C", "F"] | None = None
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
class HeldTo:
    """
    What the record is held to.

    Parameters
    ----------
    band
        fridge, frozen or room, as the protocol has them, or LO..HI in °C, as in 2..8.
    interval
        Minutes between readings; the shorter of stated and usual if left out.
    accuracy
        How far the logger may be off, in °C; the protocol's if left out.
    protocol
        A protocol id or file; the site's, or the published guidance in force, if left out.
    site
        A site whose time zone and protocol count.
    """

    band: str | None = None
    interval: Number = None
    accuracy: Number = None
    protocol: str | None = None
    site: str | None = None


LAYOUT, HELD_TO = LoggerLayout(), HeldTo()


def asked_of(layout: LoggerLayout, site_zone: "ZoneInfo | None") -> "Asked":
    """Return what was said about the layout; a site's zone counts where none was typed."""
    from thawline.exchange.loggers.asked import Asked  # noqa: PLC0415  as needed
    from thawline.exchange.loggers.layout import Unit  # noqa: PLC0415  as needed

    typed = None if layout.zone is None else zone_named(layout.zone)
    return Asked(
        unit=None if layout.unit is None else Unit(layout.unit),
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


def band_of(said: str | None, protocol: Protocol) -> tuple[str, Band | None]:
    """
    Return the protocol's band that was named; "" and None where two ends were typed.

    Raises:
        ExchangeError: None was named, or the protocol has none of that name.
    """
    if said is None:
        raise ExchangeError(
            "which band the unit must keep was not said",
            advice="say --band fridge, frozen or room, or two ends in °C, as in --band 2..8",
        )
    name = _BANDS.get(said, said)
    if name in protocol.bands:
        return name, protocol.bands[name]
    if _TYPED.fullmatch(said):
        return "", None
    raise ExchangeError(
        f"no band called {said!r}",
        advice=f"one of {', '.join(_BANDS)}, or two ends in °C, as in --band 2..8",
    )


def typed_ends(said: str, protocol: Protocol) -> tuple[Decimal, Decimal]:
    """
    Return the two ends of a band that was typed in °C.

    Raises:
        ExchangeError: They are the wrong way round, or are a band's numbers in °F.
    """
    match = _TYPED.fullmatch(said)
    assert match is not None  # noqa: S101  looked at before
    low, high = Decimal(match[1]), Decimal(match[2])
    if low >= high:
        raise ExchangeError(
            f"a band that is the wrong way round: {said}", advice=f"write {high}..{low}"
        )
    if any((low, high) == (band.low_f, band.high_f) for band in protocol.bands.values()):
        raise ExchangeError(
            f"a band with the protocol's numbers in °F: {said}",
            advice="write it in °C, or name it: --band fridge, frozen or room",
        )
    return low, high


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
