"""
What the demo's loggers write: readings as text in several layouts, every one of them invented.

They differ in what real files differ in: lines before the table, one or two columns of time,
the order of a date, twelve hours, decimal comma, the unit in the header only, marks and
summaries, and how the text is coded.
"""

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass
from datetime import timedelta
from zoneinfo import ZoneInfo

from thawline.base.instants import Instant, local_date, local_time, written
from thawline.demo.cold_model import Seen

_TIMES, _PLUS = 1.8, 32  # F = 1.8 C + 32, by definition


@dataclass(frozen=True, slots=True)
class Logged:
    """
    A unit's readings and what stands beside them in the file.

    Args:
        unit: As people call it.
        site: Where it stands.
        midnight: The instant from which the seconds of the readings count.
        zone: Whose wall clock the file has, where it is not UTC.
        every_s: The interval it is set to.
        seen: In order.
        high_c: The upper end of its band: beyond it the file marks an alarm.
    """

    unit: str
    site: str
    midnight: Instant
    zone: ZoneInfo
    every_s: int
    seen: Sequence[Seen]
    high_c: float

    def at(self, reading: Seen) -> Instant:
        """Return when a reading was taken."""
        return Instant(self.midnight + timedelta(seconds=reading.at_s))


def plain(logged: Logged) -> bytes:
    """Return comma-separated text: date and time apart, the unit in the head, a summary."""
    lines = [
        *_opening(logged, "Report: temperature record"),
        f"Interval: {logged.every_s // 60} min",
        "",
        "No.,Date,Time,Temperature (°C),Mark",
        *(
            f"{number},{_day(logged, each)},{_clock(logged, each)},{each.temp_c:.1f},"
            f"{'high' if each.temp_c > logged.high_c else ''}"
            for number, each in enumerate(logged.seen, 1)
        ),
        "",
        f"Readings: {len(logged.seen)}",
        f"Highest: {max(each.temp_c for each in logged.seen):.1f} °C",
    ]
    return _coded(lines, "utf-8")


def comma_decimals(logged: Logged) -> bytes:
    """Return semicolons with decimal commas and day-month dates, with a byte order mark."""
    lines = [
        *_opening(logged, "temperature record, decimals after a comma"),
        "Dates are day.month.year",
        "Unit of temperature: °C",
        "",
        "Date and time;Temperature",
        *(
            f"{local_date(logged.at(each), logged.zone):%d.%m.%Y} {_clock(logged, each)};"
            + f"{each.temp_c:.1f}".replace(".", ",")
            for each in logged.seen
        ),
    ]
    return _coded(lines, "utf-8-sig")


def twelve_hours(logged: Logged) -> bytes:
    """Return tabs with twelve-hour times and degrees Fahrenheit, coded as UTF-16."""
    lines = [
        *_opening(logged, "Temperature history"),
        "Dates are month/day/year",
        "",
        "Time\tTemperature (°F)",
        *(
            f"{local_date(logged.at(each), logged.zone):%m/%d/%Y} "
            f"{local_time(logged.at(each), logged.zone):%I:%M:%S %p}\t"
            f"{each.temp_c * _TIMES + _PLUS:.1f}"
            for each in logged.seen
        ),
    ]
    return _coded(lines, "utf-16")


def with_offsets(logged: Logged) -> bytes:
    """Return times that carry their own offset, and a second column that is no temperature."""
    lines = [
        *_opening(logged, "record"),
        "time,temperature_c,battery_percent",
        *(
            f"{written(logged.at(each), logged.zone)},{each.temp_c:.1f},{_BATTERY}"
            for each in logged.seen
        ),
    ]
    return _coded(lines, "utf-8")


_BATTERY = 87
LAYOUTS: dict[str, Callable[[Logged], bytes]] = {
    "plain": plain,
    "comma-decimals": comma_decimals,
    "twelve-hours": twelve_hours,
    "with-offsets": with_offsets,
}


def _opening(logged: Logged, title: str) -> Iterator[str]:
    yield f"DEMO {title}"
    yield f"Unit: {logged.unit}"
    yield f"Place: {logged.site}"
    yield "Everything in this file is invented"


def _day(logged: Logged, reading: Seen) -> str:
    return local_date(logged.at(reading), logged.zone).isoformat()


def _clock(logged: Logged, reading: Seen) -> str:
    return local_time(logged.at(reading), logged.zone).strftime("%H:%M:%S")


def _coded(lines: Sequence[str], codec: str) -> bytes:
    return ("\r\n".join(lines) + "\r\n").encode(codec)
