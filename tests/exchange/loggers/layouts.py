"""Plain layouts that the tests share."""

from datetime import UTC
from zoneinfo import ZoneInfo

import numpy as np

from thawline.exchange.dates import DateOrder
from thawline.exchange.loggers.layout import Layout, Probe, TimeFormat, Unit
from thawline.exchange.loggers.local_times import local_times
from thawline.exchange.loggers.plain_plan import plan_of

CHICAGO = ZoneInfo("America/Chicago")


def layout(**others):
    """Return a layout of one column of time and one of degrees Celsius, changed as told."""
    time = TimeFormat(
        columns=others.pop("columns", (0,)),
        order=others.pop("order", DateOrder.YMD),
        twelve_hours=others.pop("twelve_hours", False),
        offset_in_text=others.pop("offset_in_text", False),
        zone=others.pop("zone", UTC),
    )
    probe = Probe(others.pop("column", 1), "air", others.pop("unit", Unit.CELSIUS))
    usual = {"encoding": "utf-8", "delimiter": ",", "first_line": 1, "decimal_comma": False}
    return Layout(time=time, probes=(probe,), **{**usual, **others})


def read(reader, text, form, line=1):
    """Return what a reader makes of whole lines."""
    given = text.encode()
    plan = plan_of(form, given.partition(b"\n")[0])
    zone = local_times(form.time.zone or UTC)
    return reader(np.frombuffer(given, dtype=np.uint8), plan, zone, line)
