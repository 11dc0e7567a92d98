"""How entries of the journal are shown: the stable JSON keys, a table, a page of one entry."""

from collections.abc import Sequence
from typing import Any
from zoneinfo import ZoneInfo

from msgspec import to_builtins

from thawline.app.journal import Shown
from thawline.base.instants import Instant, Occurred, local_date, written
from thawline.cli.answers import alert_values
from thawline.cli.text import NONE, clock_time, counted, table
from thawline.ledger.entries import Entry
from thawline.ledger.heads import short

COLUMNS = ("entry", "when", "what", "whose", "by", "remark")
_WHOSE = ("vial", "vials", "syringe", "syringes", "person", "place", "lot")


def entry_data(entry: Entry, zone: ZoneInfo) -> dict[str, Any]:
    """Return the JSON form of an entry; `values` holds the event's own fields."""
    return {
        "seq": entry.seq,
        "id": str(entry.id),
        "epoch": entry.epoch,
        "kind": entry.kind.value,
        "event": type(entry.event).__name__,
        "occurred_from": written(entry.occurred.lo, zone),
        "occurred_to": written(entry.occurred.hi, zone),
        "recorded_at": written(entry.recorded_at, zone),
        "by": entry.by,
        "station": entry.station or None,
        "device": entry.device or None,
        "zone": entry.zone,
        "protocol": to_builtins(entry.protocol),
        "findings": [alert_values(each) for each in entry.findings],
        "values": to_builtins(entry.event),
        "hash": entry.hash.hex(),
        "corrected_by_seq": entry.corrected_by,
    }


def listed(entries: Sequence[Entry], zone: ZoneInfo, now: Instant) -> str:
    """Return the table of entries and how many there are."""
    shown = table(COLUMNS, rows(entries, zone, now), right=[0])
    return f"{shown}\n{counted(len(entries), 'entry', 'entries')}"


def rows(entries: Sequence[Entry], zone: ZoneInfo, now: Instant) -> list[list[str]]:
    """Return a row of cells for each entry."""
    today = local_date(now, zone)
    return [
        [
            str(entry.seq),
            clock_time(entry.occurred.lo, zone, today),
            type(entry.event).__name__,
            _whose(entry),
            entry.by or NONE,
            _remark(entry),
        ]
        for entry in entries
    ]


def page(found: Shown, zone: ZoneInfo) -> str:
    """Return everything about one entry, and what it counts as now if it was corrected."""
    entry = found.entry
    return "\n".join(
        [
            f"Entry {entry.seq} of epoch {entry.epoch}: {type(entry.event).__name__},"
            f" a {entry.kind.value} by {entry.by}",
            f"id {entry.id}, hash {short(entry.hash)}",
            *_told(entry, zone),
            f"recorded {written(entry.recorded_at, zone)}",
            *(f"found: {finding.says}" for finding in entry.findings),
            *_correction(found, zone),
        ]
    )


def _correction(found: Shown, zone: ZoneInfo) -> list[str]:
    by, now = found.correction, found.counts_as
    if by is None:
        return []
    if now is None:
        return [f"By entry {by.seq} of {by.by} it counts as not having happened"]
    return [f"By entry {by.seq} of {by.by} it counts as:", *_told(now, zone)]


def _told(entry: Entry, zone: ZoneInfo) -> list[str]:
    values = to_builtins(entry.event)
    fields = [f"  {name}: {_cell(value)}" for name, value in values.items()]
    return [f"happened {_when(entry.occurred, zone)}", *fields]


def _cell(value: Any) -> str:
    if isinstance(value, list | tuple):
        return " ".join(map(str, value)) or NONE
    return NONE if value in (None, "") else str(value)


def _when(occurred: Occurred, zone: ZoneInfo) -> str:
    first, last = written(occurred.lo, zone), written(occurred.hi, zone)
    return first if first == last else f"between {first} and {last}"


def _remark(entry: Entry) -> str:
    corrected = [f"see {entry.corrected_by}"] if entry.corrected_by else []
    return ", ".join([*corrected, *(finding.code for finding in entry.findings)]) or NONE


def _whose(entry: Entry) -> str:
    values = to_builtins(entry.event)
    named = [values.get(field) for field in _WHOSE]
    return next((_cell(each) for each in named if each and not isinstance(each, int)), NONE)
