"""
An alert of a storage unit: its one cause, since when, when somebody was due to be called.

An alert is about calling somebody. Any reading outside the band is an excursion, called or not,
and an alert that is over has cleared nobody's vaccine.
"""

from dataclasses import dataclass
from datetime import timedelta
from enum import StrEnum
from zoneinfo import ZoneInfo

from thawline.base.durations import spoken
from thawline.base.findings import Finding, Level
from thawline.base.instants import from_ms, local_date, local_time
from thawline.store.alarm_figures import AlarmFigures

_PER_DEGREE = 1000
_PER_MINUTE = 60_000
_PER_DAY = 24 * 60 * _PER_MINUTE


class Cause(StrEnum):
    """What an alert is about; a unit has at most one alert a cause at a time."""

    ABOVE = "above"
    BELOW = "below"
    SILENT = "silent"


@dataclass(frozen=True, slots=True)
class Alert:
    """
    One alert; times in milliseconds of UTC since 1970 began.

    Args:
        cause: Above or below the band, or a logger that sends nothing.
        since_ms: The first reading outside the band; of a silent logger the last reading.
        raised_ms: When the first call was due.
        temp_mc: The reading that raised it, the last one of a silent logger; None: there
            never was one.
        cleared_ms: The reading that ended it; None while it goes on.
    """

    cause: Cause
    since_ms: int
    raised_ms: int
    temp_mc: int | None
    cleared_ms: int | None = None

    @property
    def is_open(self) -> bool:
        """Say whether it goes on."""
        return self.cleared_ms is None


HELD = (
    "Its vials: held, do not use, do not discard, kept cold and apart; "
    "call the manufacturer and the health department"
)


def level(alert: Alert, figures: AlarmFigures) -> Level:
    """Return how soon somebody must respond; silence after a good reading is a check."""
    if alert.cause is not Cause.SILENT:
        return Level.ACT
    known_good = alert.temp_mc is not None and figures.inside(alert.temp_mc)
    return Level.CHECK if known_good else Level.ACT


def item(alert: Alert, figures: AlarmFigures) -> str | None:
    """Return the protocol item that an alert comes from."""
    return figures.silent_item if alert.cause is Cause.SILENT else figures.item


def finding(
    alert: Alert, unit: str, figures: AlarmFigures, now_ms: int, zone: ZoneInfo
) -> Finding:
    """Return what is wrong with a unit, with its limit and times, and what to do."""
    says = _silent if alert.cause is Cause.SILENT else _outside
    return Finding(
        level(alert, figures),
        f"unit-{alert.cause}",
        says(alert, unit, figures, now_ms, zone),
        item(alert, figures),
    )


def degrees(temp_mc: int) -> str:
    """Return a temperature as people say it: 8.6 °C, minus 12.0 °C; nothing is rounded off."""
    whole, thousandths = divmod(abs(temp_mc), _PER_DEGREE)
    decimals = f"{thousandths:03}".rstrip("0") or "0"
    return f"{'minus ' if temp_mc < 0 else ''}{whole}.{decimals} °C"


def _limit(temp_mc: int) -> str:
    """Return a limit as the protocol writes it: 8 °C, not 8.0 °C."""
    return degrees(temp_mc).replace(".0 °C", " °C")


def _outside(
    alert: Alert, unit: str, figures: AlarmFigures, now_ms: int, zone: ZoneInfo
) -> str:
    above = alert.cause is Cause.ABOVE
    limit_mc = figures.high_mc if above else figures.low_mc
    assert alert.temp_mc is not None  # noqa: S101  only silence has no reading
    just_now = alert.is_open and now_ms - alert.raised_ms < _PER_MINUTE
    at = "" if just_now else f" at {_clock(alert.raised_ms, zone, now_ms)}"
    return (
        f"{unit} {'is' if just_now else 'was'} {degrees(alert.temp_mc)}{at}, "
        f"limit {_limit(limit_mc)}. {'Too warm' if above else 'Too cold'} "
        f"{_span(alert, now_ms, zone)}. {HELD}"
    )


def _silent(alert: Alert, unit: str, figures: AlarmFigures, now_ms: int, zone: ZoneInfo) -> str:
    end = now_ms if alert.cleared_ms is None else alert.cleared_ms
    last = alert.temp_mc
    outside = (
        f" The last reading, {degrees(last)}, was out of its band. {HELD}."
        if last is not None and not figures.inside(last)
        else ""
    )
    sent = "has sent" if alert.is_open else "had sent"
    since = _clock(alert.since_ms, zone, now_ms)
    return (
        f"the logger of {unit} {sent} nothing for {_length(alert.since_ms, end)}. Not known: "
        f"its temperature since {since}.{outside} Read the display and type it in"
    )


def _span(alert: Alert, now_ms: int, zone: ZoneInfo) -> str:
    since = _clock(alert.since_ms, zone, now_ms)
    if alert.cleared_ms is not None:
        return f"from {since}, back inside at {_clock(alert.cleared_ms, zone, now_ms)}"
    return f"since {since}, for {_length(alert.since_ms, now_ms)}"


def _length(from_: int, until: int) -> str:
    return spoken(timedelta(milliseconds=until - from_))


def _clock(at_ms: int, zone: ZoneInfo, read_ms: int) -> str:
    """Return a local time; with its date where it is read a day later or more."""
    day = "" if read_ms - at_ms < _PER_DAY else f"{local_date(from_ms(at_ms), zone)} "
    return f"{day}{local_time(from_ms(at_ms), zone):%H:%M}"
