"""
What a person reads of `thawline cold read`: the findings, what was seen, what is not known.

The cautions stand under every answer, because the figures alone look like a clearance.
"""

from collections.abc import Iterator
from datetime import date, tzinfo
from zoneinfo import ZoneInfo

from thawline.app.cold_findings import at_least, at_most, degrees
from thawline.app.cold_reading import ColdReading
from thawline.app.cold_record import ColdRecord
from thawline.base.instants import from_ms, local_date
from thawline.cli.answers import Answer
from thawline.cli.cold_data import cold_data, read_as, zone_of
from thawline.cli.cold_kinetic import CLEARS_NOTHING
from thawline.cli.text import clock_time, counted, table, wrapped
from thawline.exchange.loggers.asked import Asked
from thawline.rules.protocol import Protocol, ProtocolRef
from thawline.store.device_alarms import Alarmed
from thawline.store.exposure import Verdict
from thawline.store.time_out import Totals

_LISTED = 12
_MAY_BE_NULL = (
    *("first", "last", "interval_min", "min_c", "mean_c", "max_c", "mkt_c"),
    *("device_alarms", "reports"),
)
_UTC = ZoneInfo("UTC")
_SAYS = {
    Verdict.IN_RANGE: "in range",
    Verdict.EXCURSION: "excursion",
    Verdict.NOT_KNOWN: "not known",
}
_HEAD = ("from", "to", "side", "readings", "farthest °C", "lines min", "hold min", "counts min")
_DECIDES = (
    "Any reading outside the range is an excursion. This tool does not decide whether vaccine "
    "may be used, and clears nothing."
)
_ACCURACY = (
    "uncertainty is never used to excuse a reading. Gaps are unknown time, not good time."
)


def answer_of(found: ColdReading, asked: Asked, ref: ProtocolRef) -> Answer:
    """Return the whole answer of a reading."""
    record = found.record
    zone = zone_of(record.files, asked)
    data = cold_data(record, zone)
    head, rows = _excursion_rows(record, zone)
    return Answer(
        data=data,
        text="\n".join(wrapped_lines(record, zone, ref)),
        alerts=found.findings,
        not_known=tuple(key for key in _MAY_BE_NULL if data[key] is None),
        protocol=ref,
        found=record.verdict is not Verdict.IN_RANGE or None,
        csv=[head, *rows],
    )


def wrapped_lines(record: ColdRecord, zone: tzinfo | None, ref: ProtocolRef) -> Iterator[str]:
    """Yield the lines of the page."""
    for file in record.files:
        of = f"{file.name}: " if len(record.files) > 1 else ""
        yield wrapped(f"{of}Read as {', '.join(read_as(record, file))}.", 2)
    yield wrapped(_seen(record, zone), 2)
    yield from _out(record, zone)
    yield from _unknown(record, zone)
    yield from _left(record)
    yield from _devices(record)
    yield ""
    yield from (wrapped(line) for line in _cautions(record, ref))


def _seen(record: ColdRecord, zone: tzinfo | None) -> str:
    seen, described = record.seen, record.description
    name = record.files[0].record.name
    if seen.first_ms is None or seen.last_ms is None:
        return f"{name}: no reading with a time. Verdict: {_SAYS[record.verdict]}."
    today = _day(seen.first_ms, zone)
    span = f"{_clock(seen.first_ms, zone, None)} to {_clock(seen.last_ms, zone, today)}"
    parts = [f"{described.min_c:g} to {described.max_c:g} °C"]
    if described.mean_c is not None:
        parts.append(f"mean {described.mean_c:.2f} °C")
    if described.mkt_c is not None:
        parts.append(f"mean kinetic {described.mkt_c:.2f} °C")
    else:
        parts.append(f"no mean kinetic temperature ({described.refused})")
    limits = record.judged.limits
    band = f"{degrees(limits.low_mc)} to {degrees(limits.high_mc)} °C"
    return (
        f"{name}: {counted(seen.readings, 'reading')}, {span} "
        f"({_zone_name(zone)}); {', '.join(parts)}. Verdict for {band}: "
        f"{_SAYS[record.verdict]}."
    )


def _out(record: ColdRecord, zone: tzinfo | None) -> Iterator[str]:
    head, rows = _excursion_rows(record, zone)
    if not rows:
        return
    yield table(head, rows[:_LISTED], right=(3, 4, 5, 6, 7))
    limits, found = record.judged.limits, record.exposure
    more = found.above.excursions + found.below.excursions - _LISTED
    if more > 0:
        yield f"and {more:,} more"
    for side, limit, totals in (
        ("above", limits.high_mc, found.above),
        ("below", limits.low_mc, found.below),
    ):
        if totals.at_most_ms:
            yield f"{side.capitalize()} {degrees(limit)} °C: {_totals(totals)}."


def _totals(totals: Totals) -> str:
    return (
        f"at least {at_least(totals.at_least_ms)}, at most {at_most(totals.at_most_ms)}; "
        f"{at_most(totals.conservative_ms)} counts"
    )


def _unknown(record: ColdRecord, zone: tzinfo | None) -> Iterator[str]:
    gaps, count = record.seen.gaps, record.seen.gap_count
    if not gaps:
        return
    share = record.exposure.coverage_share
    unknown = at_most(record.exposure.unknown_ms)
    yield wrapped(f"Not known: {unknown} in {counted(count, 'gap')}; {share:.1%} was seen.")
    rows = [
        [_clock(gap.from_ms, zone, None), _clock(gap.to_ms, zone, None), str(gap.missing)]
        for gap in gaps[:_LISTED]
    ]
    yield table(("gap from", "to", "missing"), rows, right=(2,))
    if count > _LISTED:
        yield f"and {count - _LISTED:,} more"


def _left(record: ColdRecord) -> Iterator[str]:
    left = [(file.name, each) for file in record.files for each in file.record.not_read]
    if not left:
        return
    several = len(record.files) > 1
    rows = [
        [f"{name} {each.line}" if several else str(each.line), each.text, each.why.value]
        for name, each in left[:_LISTED]
    ]
    yield table(("line", "not a reading", "because"), rows, right=(0,))
    more = record.not_read.total() - len(rows)
    if more > 0:
        yield f"and {more:,} more"


def _devices(record: ColdRecord) -> Iterator[str]:
    names = {
        alarmed: [answer.name for answer in record.devices or () if answer.alarmed is alarmed]
        for alarmed in Alarmed
    }
    told = [f"{alarmed}: {', '.join(found)}" for alarmed, found in names.items() if found]
    if told:
        yield wrapped(f"Alarm rules of devices, which clear nothing. {'; '.join(told)}.", 2)


def _cautions(record: ColdRecord, ref: ProtocolRef) -> Iterator[str]:
    yield _DECIDES
    yield CLEARS_NOTHING
    yield _limits_from(record.judged.protocol, ref, record.judged.band)
    yield f"Logger accuracy ±{record.judged.accuracy_mc / 1000:g} °C: {_ACCURACY}"


def _limits_from(protocol: Protocol, ref: ProtocolRef, band: str) -> str:
    start = protocol.protocol.effective_from.date().isoformat()
    origin = f"protocol {ref.id} version {ref.version}, in force from {start}"
    if band:
        source = protocol.sources[protocol.bands[band].source]
        named = ", ".join(str(part) for part in (source.author, source.title) if part)
        says = f"Limits come from {origin} ({named or source.kind})."
    else:
        says = f"The limits were typed; all other rules are of {origin}."
    return f"{says} The current package insert or fact sheet and local orders override."


def _excursion_rows(
    record: ColdRecord, zone: tzinfo | None
) -> tuple[tuple[str, ...], list[list[str]]]:
    rows = [
        [
            _clock(each.from_ms, zone, None),
            _clock(each.to_ms, zone, None),
            each.side.value,
            f"{each.readings:,}",
            degrees(each.extreme_mc),
            f"{each.interpolated_min:.1f}",
            f"{each.hold_min:.1f}",
            f"{each.conservative_min:.1f}",
        ]
        for each in record.exposure.excursions
    ]
    return _HEAD, rows


def _clock(at_ms: int, zone: tzinfo | None, today: date | None) -> str:
    return clock_time(from_ms(at_ms), zone or _UTC, today)


def _day(at_ms: int, zone: tzinfo | None) -> date:
    return local_date(from_ms(at_ms), zone or _UTC)


def _zone_name(zone: tzinfo | None) -> str:
    return "UTC" if zone is None else str(zone)
