"""What a unit is watched by: the ends of its band, and when a call is due and over."""

from dataclasses import dataclass
from datetime import timedelta
from decimal import ROUND_CEILING, ROUND_FLOOR, Decimal

from thawline.base.durations import Allowance
from thawline.rules.cold import Alarm, Logging
from thawline.rules.protocol import Band

_MS = timedelta(milliseconds=1)
_PER_DEGREE = 1000


@dataclass(frozen=True, slots=True)
class AlarmFigures:
    """
    The figures of one watched unit, as whole numbers.

    Args:
        low_mc: The lower end of the band, still inside, in thousandths of a degree Celsius.
        high_mc: The upper end, likewise.
        dead_band_mc: How far inside the band a reading ends an alert.
        delay_ms: From the first reading outside to the call.
        clears_ms: How long readings stay inside before the alert is over.
        silent_ms: How long a logger may send nothing; None: nobody expects it to send.
        next_call_ms: From one unanswered call to the next; None: everybody at once.
        item: The protocol item of the alarm.
        silent_item: The protocol item of the logging interval.
    """

    low_mc: int
    high_mc: int
    dead_band_mc: int
    delay_ms: int
    clears_ms: int
    silent_ms: int | None = None
    next_call_ms: int | None = None
    item: str | None = None
    silent_item: str | None = None

    def inside(self, temp_mc: int) -> bool:
        """Say whether the temperature is in the band; both of its ends are."""
        return self.low_mc <= temp_mc <= self.high_mc


def alarm_figures(band: Band, alarm: Alarm, logging: Logging | None = None) -> AlarmFigures:
    """
    Return what a unit is watched by, rounded to the side that calls sooner and clears later.

    Args:
        band: The band that the unit must keep.
        alarm: The protocol's alarm for that band.
        logging: How often a logger must read, where somebody expects it to send while it
            reads; None where its silence means nothing.
    """
    return AlarmFigures(
        low_mc=_mc(band.low_c, ROUND_CEILING),
        high_mc=_mc(band.high_c, ROUND_FLOOR),
        dead_band_mc=_mc(alarm.dead_band_c, ROUND_CEILING),
        delay_ms=_ms(alarm.delay),
        clears_ms=_ms(alarm.clears_after or alarm.delay),
        silent_ms=None if logging is None else _ms(logging.interval_most),
        next_call_ms=None if alarm.calls_next_after is None else _ms(alarm.calls_next_after),
        item=alarm.item,
        silent_item=None if logging is None else logging.item,
    )


def _mc(degrees_c: Decimal, rounding: str) -> int:
    return int((degrees_c * _PER_DEGREE).to_integral_value(rounding))


def _ms(length: Allowance) -> int:
    return length.longest() // _MS
