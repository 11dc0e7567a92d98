"""
A made-up unit to watch: 2 to 8 °C, dead-band 0.5 °C, delay and clearing 5 minutes each, a
logger that may be silent for 30 minutes, the next call after 10. Minutes from midnight.
"""

from thawline.store.alarm_figures import AlarmFigures
from thawline.store.readings import readings
from thawline.store.watching import alerts

MINUTE = 60_000

FIGURES = AlarmFigures(
    low_mc=2_000,
    high_mc=8_000,
    dead_band_mc=500,
    delay_ms=5 * MINUTE,
    clears_ms=5 * MINUTE,
    silent_ms=30 * MINUTE,
    next_call_ms=10 * MINUTE,
    item="A1",
    silent_item="L1",
)


def seen(*rows):
    """Return readings from pairs of a minute and degrees Celsius."""
    minutes = [round(minute * MINUTE) for minute, _ in rows]
    return readings(minutes, [round(1000 * degrees) for _, degrees in rows])


def every(step, *degrees, start=0):
    """Return readings so many minutes apart."""
    return seen(*((start + number * step, each) for number, each in enumerate(degrees)))


def raised(record, now=None, figures=FIGURES, kept=()):
    """Return cause, since, raised and cleared of each alert, in minutes."""
    last = int(max(record.at_ms, default=0)) // MINUTE
    until = (last if now is None else now) * MINUTE
    return [
        (
            str(alert.cause),
            alert.since_ms / MINUTE,
            alert.raised_ms / MINUTE,
            None if alert.cleared_ms is None else alert.cleared_ms / MINUTE,
        )
        for alert in alerts(record, figures, until, kept)
    ]
