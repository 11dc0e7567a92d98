"""How a vial's reckoning is shown: the stable JSON keys, and a few lines of text."""

from datetime import timedelta
from typing import Any
from zoneinfo import ZoneInfo

from thawline.base.instants import Instant, local_date, written
from thawline.cli.text import clock_time, table, time_left
from thawline.vial.clocks import Running
from thawline.vial.reckon import Reckoning

_MINUTE = timedelta(minutes=1)


def reckoning_data(reckoning: Reckoning, zone: ZoneInfo, at: Instant) -> dict[str, Any]:
    """Return the JSON form: instants with the place's offset, minutes left rounded down."""
    return {
        "state": reckoning.state.value,
        "usable": reckoning.usable,
        "ready_at": _iso(reckoning.ready_at, zone),
        "use_by": _iso(reckoning.use_by, zone),
        "set_by": reckoning.set_by,
        "clocks": [_clock(clock, zone, at) for clock in reckoning.clocks],
    }


def reckoning_text(reckoning: Reckoning, zone: ZoneInfo, at: Instant) -> str:
    """Return the state, the use-by and a table of the clocks."""
    today = local_date(at, zone)
    until = clock_time(reckoning.use_by, zone, today) if reckoning.use_by else "?"
    says = f"{reckoning.state}, use by {until}"
    if reckoning.set_by:
        item = f", item {reckoning.set_by_item}" if reckoning.set_by_item else ""
        says += f" (set by {reckoning.set_by}{item})"
    if not reckoning.usable:
        says += ", not usable"
    elif reckoning.ready_at and reckoning.ready_at > at:
        says += f", ready {clock_time(reckoning.ready_at, zone, today)}"
    rows = [
        [
            clock.clock,
            clock.item or "-",
            clock_time(clock.started, zone, today),
            clock_time(clock.ends, zone, today) if clock.ends else "paused",
            time_left(clock.left(at)),
        ]
        for clock in reckoning.clocks
    ]
    return f"{says}\n{table(['clock', 'item', 'started', 'ends', 'left'], rows)}"


def _clock(clock: Running, zone: ZoneInfo, at: Instant) -> dict[str, Any]:
    return {
        "clock": clock.clock,
        "item": clock.item,
        "started": _iso(clock.started, zone),
        "ends": _iso(clock.ends, zone),
        "used_min": None if clock.used is None else -(-clock.used // _MINUTE),
        "left_min": None if (left := clock.left(at)) is None else left // _MINUTE,
    }


def _iso(at: Instant | None, zone: ZoneInfo) -> str | None:
    return None if at is None else written(at, zone)
