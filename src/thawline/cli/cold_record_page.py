"""The printed record of an excursion: one page of plain text, and the same as JSON."""

from collections.abc import Iterator
from datetime import date
from typing import Any

from thawline.app.cold_findings import degrees
from thawline.app.excursion_record import ExcursionRecord, Released
from thawline.app.exposed import Affected
from thawline.app.ports import Site
from thawline.base.instants import Instant, from_ms, local_date, written
from thawline.cli.answers import Answer
from thawline.cli.cold_exposure_data import exposure_data
from thawline.cli.cold_exposure_pages import (
    CAUTIONS,
    alerts_of,
    excursion_lines,
    head_lines,
)
from thawline.cli.text import clock_time, counted, wrapped
from thawline.store.fold import CallRow, HoldRow
from thawline.vial.leaving import HELD

ABSENT = "MISSING"
_PLACE = (
    "Limits come from {id} version {version}, in force {from_}; the current package insert or "
    "fact sheet and local orders override.",
    "State and local codes, the medical director's standing orders and professional licences "
    "decide. Keep this record three years, or longer as local law says.",
)


def record_answer(site: Site, record: ExcursionRecord, now: Instant) -> Answer:
    """Return the record of an excursion as a page and as JSON."""
    return Answer(
        data=_data(site, record),
        text="\n".join(_page(site, record, now)),
        alerts=list(alerts_of(record.found)),
        not_known=record.missing,
        protocol=record.found.unit.rules.ref,
        found=True if record.found.excursions or record.missing else None,
    )


def _page(site: Site, record: ExcursionRecord, now: Instant) -> Iterator[str]:
    today = local_date(now, site.zone)
    if site.demo:
        yield "DEMO: everything on this page is invented."
    yield f"RECORD OF AN EXCURSION, {site.name}, printed {clock_time(now, site.zone)}"
    yield f"Label: {HELD}"
    yield ""
    yield from head_lines(site, record.found, today)
    for number, each in enumerate(record.found.excursions, 1):
        yield ""
        yield from excursion_lines(site, number, each, today)
        yield _totals(each)
    yield ""
    yield from _what_happened(site, record, today)
    yield from _room(site, record, today)
    yield from _logger(record)
    yield from _calls(site, record, today)
    yield from _releases(site, record, today)
    yield ""
    yield f"Missing in this record: {len(record.missing) or 'nothing'}"
    yield from (f"  {ABSENT}: {each}" for each in record.missing)
    yield ""
    protocol = record.found.unit.rules.protocol.protocol
    of = {
        "id": protocol.id,
        "version": protocol.version,
        "from_": f"from {protocol.effective_from.date()}",
    }
    yield from (wrapped(line.format(**of)) for line in (*CAUTIONS, *_PLACE))


def _totals(each: Affected) -> str:
    """Return how many vials, doses and lots are concerned."""
    vials = sum(thing.inside.vials for thing in each.things)
    doses = sum(thing.inside.doses for thing in each.things)
    lots = sorted({thing.inside.lot for thing in each.things})
    syringes = sum(not thing.inside.vials for thing in each.things)
    of = f"of lot {', '.join(lots)}" if lots else "of no lot"
    return (
        f"  In all {counted(vials, 'vial')} and {counted(syringes, 'syringe')}, "
        f"{counted(doses, 'dose')} by the book, {of}."
    )


def _what_happened(site: Site, record: ExcursionRecord, today: date) -> Iterator[str]:
    if not record.holds:
        yield f"What happened: {ABSENT}"
        yield f"Recorded by: {ABSENT}"
    for row in record.holds:
        at = clock_time(from_ms(row.at_ms), site.zone, today)
        yield wrapped(f"What happened: {row.why}", 2)
        held = len(row.vials) + len(row.cartons) + len(row.syringes)
        yield wrapped(f"Recorded by: {row.by}, {at}; entry {row.seq}, {held} held", 2)


def _room(site: Site, record: ExcursionRecord, today: date) -> Iterator[str]:
    if record.room is None:
        yield f"Room temperature: {ABSENT}"
        return
    read = record.room.read
    at = clock_time(from_ms(read.lo_ms), site.zone, today)
    yield (
        f"Room temperature: {degrees(read.temp_mc)} °C at {record.room.table}, {at}, "
        f"read by {read.by}"
    )


def _logger(record: ExcursionRecord) -> Iterator[str]:
    files = [each.file for one in record.found.unit.records for each in one.files]
    if not files:
        yield f"Length from the logger: {ABSENT}"
    for file in files:
        yield wrapped(
            f"Logger file: {file.name}, entry {file.seq}, read as {file.read_as}, by "
            f"{file.by}; sha256 {file.sha256[:16]}",
            2,
        )


def _calls(site: Site, record: ExcursionRecord, today: date) -> Iterator[str]:
    if not record.calls:
        yield f"Called: {ABSENT}"
    for row in record.calls:
        at = clock_time(from_ms(row.at_ms), site.zone, today)
        yield wrapped(
            f"Called: {row.called}, {at}, by {row.by}. Answer: {row.answer or ABSENT}. "
            f"Case: {row.case or ABSENT}",
            2,
        )


def _releases(site: Site, record: ExcursionRecord, today: date) -> Iterator[str]:
    for each in record.releases:
        at = clock_time(from_ms(each.at_ms), site.zone, today)
        yield wrapped(
            f"Released: {_named(each)}, {at}, by {each.by} and {each.second}: {each.why}. "
            f"Called: {each.called or ABSENT}. Answer: {each.answer or ABSENT}. Case: "
            f"{each.case or ABSENT}",
            2,
        )
    held = {
        thing.inside.code
        for each in record.found.excursions
        for thing in each.things
        if thing.held and not thing.ended
    }
    yield wrapped(f"Still held: {', '.join(sorted(held)) or 'nothing'}", 2)


def _named(each: Released) -> str:
    return ", ".join(thing.replace("|", ":") for thing in each.things)


def _data(site: Site, record: ExcursionRecord) -> dict[str, Any]:
    room = record.room
    return {
        **exposure_data(site, record.found),
        "label": HELD,
        "holds": [_hold(site, row) for row in record.holds],
        "calls": [_call(site, row) for row in record.calls],
        "releases": [
            {
                "at": written(from_ms(each.at_ms), site.zone),
                "by": each.by,
                "second": each.second,
                "why": each.why,
                "things": list(each.things),
                "called": each.called or None,
                "answer": each.answer or None,
                "case": each.case or None,
            }
            for each in record.releases
        ],
        "room_c": None if room is None else room.read.temp_mc / 1000,
        "room_table": None if room is None else room.table,
        "missing": list(record.missing),
    }


def _hold(site: Site, row: HoldRow) -> dict[str, Any]:
    return {
        "at": written(from_ms(row.at_ms), site.zone),
        "by": row.by,
        "why": row.why,
        "seq": row.seq,
        "vials": list(row.vials),
        "cartons": list(row.cartons),
        "syringes": list(row.syringes),
    }


def _call(site: Site, row: CallRow) -> dict[str, Any]:
    return {
        "at": written(from_ms(row.at_ms), site.zone),
        "by": row.by,
        "called": row.called,
        "answer": row.answer or None,
        "case": row.case or None,
    }
