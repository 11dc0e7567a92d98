"""The keys and values of `thawline cold read`; temperatures in °C, lengths in minutes."""

from collections.abc import Sequence
from datetime import tzinfo
from typing import Any

from thawline.app.cold_record import ColdRecord
from thawline.base.instants import from_ms, written
from thawline.exchange.loggers.asked import Asked
from thawline.exchange.loggers.joined import LoggerFile
from thawline.store.time_out import MINUTE_MS, Excursion

_PER_DEGREE = 1000


def cold_data(record: ColdRecord, zone: tzinfo | None) -> dict[str, Any]:
    """Return the machine-readable answer."""
    seen, found, described = record.seen, record.exposure, record.description
    return {
        "readings": seen.readings,
        "first": None if seen.first_ms is None else _at(seen.first_ms, zone),
        "last": None if seen.last_ms is None else _at(seen.last_ms, zone),
        "interval_min": None if seen.interval_ms is None else seen.interval_ms / MINUTE_MS,
        "unit": record.files[0].record.probe.unit.value,
        **_found_on_the_way(record, zone),
        "excursions": [excursion_values(each, zone) for each in found.excursions],
        "totals": {"above": found.above.minutes(), "below": found.below.minutes()},
        "unknown_min": found.unknown_ms / MINUTE_MS,
        "coverage_share": found.coverage_share,
        "min_c": described.min_c,
        "mean_c": described.mean_c,
        "max_c": described.max_c,
        "mkt_c": described.mkt_c,
        "verdict": record.verdict.value,
        **_beside(record, zone),
    }


def _found_on_the_way(record: ColdRecord, zone: tzinfo | None) -> dict[str, Any]:
    """Return gaps, readings of one time, suspected faults and disorder."""
    seen = record.seen
    return {
        "gaps": [
            {"from": _at(gap.from_ms, zone), "to": _at(gap.to_ms, zone), "missing": gap.missing}
            for gap in seen.gaps
        ],
        "duplicates": [
            {
                "at": _at(each.at_ms, zone),
                "kind": each.kind.value,
                "values": [temp / _PER_DEGREE for temp in each.temps_mc],
            }
            for each in seen.duplicates
        ],
        "spikes": [
            {
                "at": _at(spike.at_ms, zone),
                "temp_c": spike.temp_mc / _PER_DEGREE,
                "why": spike.why.value,
            }
            for spike in seen.spikes
        ],
        "out_of_order": [
            {"file": late.file, "line": late.line, "at": _at(late.at_ms, zone)}
            for late in seen.late
        ],
        "out_of_order_count": seen.late_count,
        "gaps_count": seen.gap_count,
        "duplicates_count": seen.duplicate_count,
        "spikes_count": seen.spike_count,
        "excursions_count": record.exposure.above.excursions + record.exposure.below.excursions,
    }


def zone_of(files: Sequence[LoggerFile], asked: Asked) -> tzinfo | None:
    """Return where the times are shown: as asked, else as the file has them; None for UTC."""
    return asked.zone or files[0].layout.time.zone


def excursion_values(each: Excursion, zone: tzinfo | None) -> dict[str, Any]:
    """Return one excursion."""
    return {
        "from": _at(each.from_ms, zone),
        "to": _at(each.to_ms, zone),
        "side": each.side.value,
        "readings": each.readings,
        "extreme_c": each.extreme_mc / _PER_DEGREE,
        "interpolated_min": each.interpolated_min,
        "hold_min": each.hold_min,
        "conservative_min": each.conservative_min,
    }


def _beside(record: ColdRecord, zone: tzinfo | None) -> dict[str, Any]:
    """Return what the contract does not name: how it was read, alarms, what was not read."""
    limits, files = record.judged.limits, record.files
    return {
        "probe": files[0].record.name,
        "read_as": [{"file": file.name, "parts": read_as(record, file)} for file in files],
        "band": {
            "name": record.judged.band or None,
            "low_c": limits.low_mc / _PER_DEGREE,
            "high_c": limits.high_mc / _PER_DEGREE,
            "item": record.judged.item,
        },
        "accuracy_c": record.judged.accuracy_mc / _PER_DEGREE,
        "mkt_c_not_known_because": record.description.refused,
        "not_read": [
            {
                "file": file.name,
                "line": left.line,
                "text": left.text,
                "why": left.why.value,
                "temp_c": None if left.temp_mc is None else left.temp_mc / _PER_DEGREE,
            }
            for file in files
            for left in file.record.not_read
        ],
        "not_read_count": record.not_read.total(),
        "repeated_between_files": record.seen.repeated,
        "columns_not_read": sorted({name for file in files for name in file.layout.unread}),
        **_rules_beside(record, zone),
    }


def _rules_beside(record: ColdRecord, zone: tzinfo | None) -> dict[str, Any]:
    """Return what devices' alarms and local reporting rules say; they clear nothing."""
    return {
        "device_alarms": None
        if record.devices is None
        else [
            {
                "name": answer.name,
                "item": answer.rule.item,
                "alarm": answer.alarmed.value,
                "lasted_min": answer.lasted_ms / MINUTE_MS,
                "at_most_min": answer.at_most_ms / MINUTE_MS,
                "at": None if answer.sounded_at_ms is None else _at(answer.sounded_at_ms, zone),
            }
            for answer in record.devices
        ],
        "reports": None
        if record.reports is None
        else [
            {"name": answer.name, "item": answer.rule.item, "asked": answer.asked.value}
            for answer in record.reports
        ],
    }


def read_as(record: ColdRecord, file: LoggerFile) -> list[str]:
    """Return how a file was read, part by part, in words, the interval after the zone."""
    parts = list(file.layout.read_as)
    interval = record.seen.interval_ms
    if interval is not None:
        parts.insert(3, f"every {interval / MINUTE_MS:g} min")
    return parts


def _at(at_ms: int, zone: tzinfo | None) -> str:
    return written(from_ms(at_ms), zone)
