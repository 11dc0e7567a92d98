"""An invented night of a refrigerator, for tests of its picture."""

import numpy as np

from thawline.base.instants import from_ms, read_instant, to_ms, zone_named
from thawline.draw.trace import Gap, Outside, Trace
from thawline.rules.cold import Side
from thawline.store.readings import readings

ZONE = zone_named("Etc/GMT+6")
SINCE = read_instant("2026-02-04T22:00:00-06:00")
MINUTE_MS = 60_000


def at_ms(minutes):
    """Return the instant so many minutes after ten in the evening."""
    return to_ms(SINCE) + minutes * MINUTE_MS


def night(**changed):
    """Return a trace: 5 degrees until 01:00, nothing until 02:55, 9.4 degrees until 03:50."""
    minutes = np.array([*range(0, 181, 5), *range(295, 351, 5)])
    degrees = np.where(minutes < 200, 5_000, 9_400)
    shown = {
        "title": "Refrigerator 2, Tansy Ferry Fairground",
        "zone": ZONE,
        "since": SINCE,
        "until": from_ms(at_ms(360)),
        "low_mc": 2_000,
        "high_mc": 8_000,
        "record": readings(at_ms(minutes), degrees),
        "gaps": (Gap(at_ms(180), at_ms(295)),),
        "outside": (Outside(Side.ABOVE, at_ms(295), at_ms(350)),),
        "says": ("Time above 8 °C: at least 55 min, at most 2 h 50 min.", "46 vials are held."),
    }
    return Trace(**(shown | changed))
