"""
The tables of a protocol file about watching temperatures: one Struct a table, one field a key.

None of them says what an excursion is: any reading outside a unit's band is one. These say
when somebody is called, what must be reported, what a device's own alarm means, how often
somebody looks, and how far a logger can be off.
"""

from decimal import Decimal
from enum import StrEnum

from thawline.base.durations import Allowance
from thawline.rules.table import Table


class Side(StrEnum):
    """Which way out of a band."""

    ABOVE = "above"
    BELOW = "below"
    OUTSIDE = "outside"


class Alarm(Table, frozen=True, kw_only=True):
    """
    [alarms.*]: when a unit that left its band is called out; never what an excursion is.

    It is over after `clears_after` inside the band by `dead_band_c`; absent: as long as
    `delay`. Where nobody answers, the next of the call chain is due each `calls_next_after`.
    """

    item: str
    band: str
    delay: Allowance
    dead_band_c: Decimal
    source: str
    clears_after: Allowance | None = None
    calls_next_after: Allowance | None = None


class Reporting(Table, frozen=True, kw_only=True):
    """[reporting.*]: a local threshold for reporting; it never un-marks an excursion."""

    item: str
    band: str
    side: Side
    lasts: Allowance
    source: str
    within: Allowance | None = None  # absent: in one go


class Reach(StrEnum):
    """What a device's alarm adds up: one event, or all of them."""

    SINGLE = "single"
    CUMULATIVE = "cumulative"


class DeviceAlarm(Table, frozen=True, kw_only=True):
    """
    [device_alarms.*]: the alarm rule of a shipment device, shown beside the excursion.

    It sounds once readings beyond `at_c` on that side have lasted `lasts`. Exactly that
    temperature, and exactly that long, count too unless the file says they do not.
    """

    item: str
    device: str  # the kind of device, as its standard names it
    at_c: Decimal
    side: Side
    lasts: Allowance
    reach: Reach
    source: str
    at_c_counts: bool = True
    lasts_counts: bool = True


class Logging(Table, frozen=True, kw_only=True):
    """[logging]: how often a logger must read, and how far it may be off either way."""

    item: str
    interval_most: Allowance
    accuracy_c: Decimal
    source: str


class Kinetic(Table, frozen=True, kw_only=True):
    """[kinetic]: the activation energy for mean kinetic temperature, which only describes."""

    item: str
    activation_energy_kj_per_mol: Decimal
    source: str


class Every(Table, frozen=True, kw_only=True):
    """Something that somebody looks at, and how often at least."""

    item: str
    every: Allowance
    source: str


class TimesADay(Table, frozen=True, kw_only=True):
    """Something that somebody does so many times on each day of work."""

    item: str
    times_a_day: int
    source: str


class Rounds(Table, frozen=True, kw_only=True):
    """[rounds]: the looks that people take: at the tables, and at each unit's display."""

    table: Every | None = None
    display: TimesADay | None = None
