"""The record of one probe beside the band it is held against, and all the figures of it."""

from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import timedelta

from thawline.exchange.loggers.joined import Late, LoggerFile
from thawline.exchange.loggers.record import Why
from thawline.rules.protocol import Protocol
from thawline.store.device_alarms import DeviceAnswer
from thawline.store.exposure import Exposure, Verdict
from thawline.store.faults import Spike
from thawline.store.kinetic import Description
from thawline.store.limits import Limits
from thawline.store.readings import Temperatures
from thawline.store.reporting import ReportAnswer
from thawline.store.tidy import Duplicate, Gap


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


@dataclass(frozen=True, slots=True, kw_only=True)
class Seen:
    """
    What was found on the way through a record; a long list may be cut off, its count is whole.

    Args:
        readings: How many there were.
        first_ms: The first instant; None without any, and so is the last.
        interval_ms: That gaps are measured by; None with fewer than two instants.
        half_step_mc: How far a coarse display can hide.
        conflicting: At how many times the readings differ.
        late: The first readings that stand after later ones, where their lines are known.
        repeated: Readings left out because an earlier file has the same.
        only_mc: The one temperature of every reading; None where they differ.
    """

    readings: int
    first_ms: int | None
    last_ms: int | None
    interval_ms: int | None
    half_step_mc: int
    gaps: Sequence[Gap]
    gap_count: int
    duplicates: Sequence[Duplicate]
    duplicate_count: int
    conflicting: int
    spikes: Sequence[Spike]
    spike_count: int
    late: Sequence[Late]
    late_count: int
    repeated: int
    only_mc: int | None


@dataclass(frozen=True, slots=True, eq=False)
class ColdRecord:
    """
    A record and its figures.

    Args:
        devices: What alarm rules of devices say; None where they were not asked.
        reports: What local reporting rules say; None where they were not asked.
        unplaced_mc: Temperatures whose time is not known.
        unplaced_out: How many of them are out of range.
    """

    files: tuple[LoggerFile, ...]
    seen: Seen
    judged: Judged
    exposure: Exposure
    description: Description
    devices: tuple[DeviceAnswer, ...] | None
    reports: tuple[ReportAnswer, ...] | None
    unplaced_mc: Temperatures
    unplaced_out: int
    verdict: Verdict
    not_read: Counter[Why]
