"""The record of one probe beside the band it is held against, and all the figures of it."""

from collections import Counter
from dataclasses import dataclass
from datetime import timedelta

from thawline.exchange.loggers.joined import Joined, LoggerFile
from thawline.exchange.loggers.record import Why
from thawline.rules.protocol import Protocol
from thawline.store.device_alarms import DeviceAnswer
from thawline.store.exposure import Exposure, Verdict
from thawline.store.kinetic import Description
from thawline.store.limits import Limits
from thawline.store.reporting import ReportAnswer
from thawline.store.tidy import Tidy


@dataclass(frozen=True, slots=True)
class Judged:
    """
    What a record is held against.

    Args:
        band: The protocol's name of the band; "" for one that was typed.
        item: Its item in the protocol; None for one that was typed.
        limits: Its ends, both inside.
        accuracy_mc: How far the logger may be off.
        interval: Between readings, where the person said so.
        protocol: Whose alarm, reporting and logging rules count.
    """

    band: str
    item: str | None
    limits: Limits
    accuracy_mc: int
    interval: timedelta | None
    protocol: Protocol


@dataclass(frozen=True, slots=True, eq=False)
class ColdRecord:
    """A record and its figures; `unplaced_out`: how many without a time are out of range."""

    files: tuple[LoggerFile, ...]
    joined: Joined
    judged: Judged
    tidy: Tidy
    exposure: Exposure
    description: Description
    devices: tuple[DeviceAnswer, ...]
    reports: tuple[ReportAnswer, ...]
    unplaced_out: int
    verdict: Verdict
    not_read: Counter[Why]
