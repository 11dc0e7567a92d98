"""
A temperature trace: what it shows, before anybody draws it as SVG or in plain characters.

Both twins follow the same rules: the band faint, its limits strong, time that nobody knows
hatched and never bridged, time out of band marked on the limit itself.
"""

from collections.abc import Iterator
from dataclasses import dataclass
from zoneinfo import ZoneInfo

import numpy as np

from thawline.base.durations import spoken
from thawline.base.instants import Instant, from_ms, local_date, local_time, to_ms, written
from thawline.rules.cold import Side
from thawline.store.readings import Readings, readings

NOT_KNOWN = "Not known"
_MC = 1_000
# A limit that is nearer than this to what was seen is drawn, one farther away is only named:
# the cold end of a freezer's band would flatten everything else. A choice of this project.
_NEAR_C = 10.0
_ROOM = 0.12  # of the height, above and below what is shown
_LEAST_C = 1.0  # of room
_NO_PLACE = "Etc/"
_OFFSET = len("-06:00")
_TO_FAHRENHEIT = (1.8, 32)  # F = 1.8 C + 32, by definition


@dataclass(frozen=True, slots=True)
class Gap:
    """A time of which nothing is known."""

    from_ms: int
    to_ms: int


@dataclass(frozen=True, slots=True)
class Outside:
    """A run of readings out of band on one side, first to last."""

    side: Side
    from_ms: int
    to_ms: int


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Trace:
    """
    What a trace shows.

    Args:
        title: The unit, the site.
        zone: Whose wall clock the time axis has.
        since: The left edge.
        until: The right edge.
        low_mc: The band, thousandths of a degree Celsius; both ends are inside.
        high_mc: Likewise.
        record: In order of time.
        gaps: Earliest first.
        outside: Earliest first.
        by_hand: What people read from the display; drawn apart.
        says: The sentences under it; the first is drawn strong.
        fahrenheit: Whether degrees Fahrenheit stand on the right.
        demo: Whether DEMO is written across.
    """

    title: str
    zone: ZoneInfo
    since: Instant
    until: Instant
    low_mc: int
    high_mc: int
    record: Readings
    gaps: tuple[Gap, ...] = ()
    outside: tuple[Outside, ...] = ()
    by_hand: Readings | None = None
    says: tuple[str, ...] = ()
    fahrenheit: bool = False
    demo: bool = False

    @property
    def low_c(self) -> float:
        """The band's lower end, degrees Celsius."""
        return self.low_mc / _MC

    @property
    def high_c(self) -> float:
        """The band's upper end, degrees Celsius."""
        return self.high_mc / _MC

    def hand(self) -> Readings:
        """Return the hand readings that lie on the axis; perhaps none."""
        taken = readings([], []) if self.by_hand is None else self.by_hand
        return within(taken, self.since, self.until)


def within(record: Readings, since: Instant, until: Instant) -> Readings:
    """Return the readings from one instant to another, both included."""
    inside = (record.at_ms >= to_ms(since)) & (record.at_ms <= to_ms(until))
    return readings(record.at_ms[inside], record.temp_mc[inside])


def pieces(trace: Trace) -> Iterator[Readings]:
    """Yield the readings between gaps: what may be joined by a line."""
    shown = within(trace.record, trace.since, trace.until)
    cuts = np.searchsorted(shown.at_ms, [gap.from_ms for gap in trace.gaps], side="right")
    for start, end in zip([0, *cuts], [*cuts, len(shown)], strict=True):
        if end > start:
            yield readings(shown.at_ms[start:end], shown.temp_mc[start:end])


def gaps_shown(trace: Trace) -> Iterator[Gap]:
    """Yield the gaps that reach onto the axis, cut at its edges."""
    first, last = to_ms(trace.since), to_ms(trace.until)
    for gap in trace.gaps:
        if gap.to_ms > first and gap.from_ms < last:
            yield Gap(max(gap.from_ms, first), min(gap.to_ms, last))


def degrees_shown(trace: Trace) -> tuple[float, float]:
    """Return the coldest and the warmest degree of the picture, with some room."""
    seen = np.concatenate(
        [within(trace.record, trace.since, trace.until).temp_mc, trace.hand().temp_mc]
    )
    low, high = (
        (seen.min() / _MC, seen.max() / _MC) if len(seen) else (trace.low_c, trace.high_c)
    )
    near = [c for c in (trace.low_c, trace.high_c) if low - _NEAR_C <= c <= high + _NEAR_C]
    low, high = float(min(low, *near, low)), float(max(high, *near, high))
    room = max(_ROOM * (high - low), _LEAST_C)
    return low - room, high + room


def degrees(celsius: float, *, fahrenheit: bool = False) -> str:
    """Return a temperature as an axis writes it, with a true minus sign."""
    times, plus = _TO_FAHRENHEIT
    value = celsius * times + plus if fahrenheit else celsius
    unit = "°F" if fahrenheit else "°C"
    return f"{value:.4g} {unit}".replace("-", "\N{MINUS SIGN}")


def spoken_degrees(celsius: float) -> str:
    """Return a temperature as a sentence says it: minus 18.2 °C."""
    sign = "minus " if celsius < 0 else ""
    return f"{sign}{abs(celsius):.4g} °C"


def outside_says(trace: Trace, run: Outside) -> str:
    """Return what is said of a run out of band: its side, its limit, how long it was seen."""
    limit = trace.high_c if run.side is Side.ABOVE else trace.low_c
    lasted = from_ms(run.to_ms) - from_ms(run.from_ms)
    seen = f"seen for {spoken(lasted)}" if run.to_ms > run.from_ms else "one reading"
    word = "Above" if run.side is Side.ABOVE else "Below"
    return f"{word} {degrees(limit)}, {seen}"


def times_of(gap: Gap, zone: ZoneInfo) -> str:
    """Return "01:00 to 02:55" at the place, with the days where they differ from each other."""
    first, last = from_ms(gap.from_ms), from_ms(gap.to_ms)
    if local_date(first, zone) == local_date(last, zone):
        return f"{_clock(first, zone)} to {_clock(last, zone)}"
    return f"{_day_and_clock(first, zone)} to {_day_and_clock(last, zone)}"


def span_says(trace: Trace) -> str:
    """Return from when to when it is drawn, as the title says it: a record has its year."""
    zone = trace.zone
    first, last = local_date(trace.since, zone).year, local_date(trace.until, zone).year
    began = _day_and_clock(trace.since, zone, first if first != last else None)
    return f"{began} to {_day_and_clock(trace.until, zone, last)}"


def zone_says(trace: Trace) -> str:
    """
    Return whose clock the axis has: the place's, or how far from UTC it stands all year.

    The names of zones without a place have the sign the other way round, so they are not shown.
    """
    if trace.zone.key.startswith(_NO_PLACE):
        return f"local time, UTC{written(trace.since, trace.zone)[-_OFFSET:]}"
    return f"local time, {trace.zone.key}"


def _clock(at: Instant, zone: ZoneInfo) -> str:
    return local_time(at, zone).strftime("%H:%M")


def _day_and_clock(at: Instant, zone: ZoneInfo, year: int | None = None) -> str:
    day = local_date(at, zone)
    shown = "" if year is None else f" {year}"
    return f"{day.strftime('%a')} {day.day} {day.strftime('%b')}{shown} {_clock(at, zone)}"
