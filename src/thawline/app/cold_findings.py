"""
What somebody must know of a record from the cold store, in one sentence each.

An excursion always says the same five things: held, do not use, do not discard, kept cold and
apart, call. Nothing here clears anything. What is odd in a file is told and changes nothing.
"""

from collections.abc import Iterator
from datetime import timedelta
from decimal import Decimal

from thawline.app.cold_record import ColdRecord
from thawline.base.durations import spoken
from thawline.base.findings import Finding, Level
from thawline.exchange.loggers.record import Why
from thawline.rules.cold import Side
from thawline.store.exposure import Totals, Verdict
from thawline.store.reporting import Asked
from thawline.vial.leaving import HELD as STICKER

HELD = (
    f"{STICKER}. Do not discard. Keep it cold and apart, at its right temperature. Call the "
    "manufacturer and the health department or immunization program"
)
_REFROZEN = "A thawed vial is never refrozen; soft or unsure: to the refrigerator, still held"
_PER_DEGREE = Decimal(1000)
_MINUTE = timedelta(minutes=1)
_MS = timedelta(milliseconds=1)
_STUCK = 12  # equal readings in a row of a probe that moves by itself; common practice


def findings_of(record: ColdRecord) -> Iterator[Finding]:
    """Yield everything that was found, in the order in which it matters."""
    yield from _excursion(record)
    yield from _unplaced(record)
    yield from _not_known(record)
    yield from _reports(record)
    yield from _device(record)
    yield from _odd_readings(record)
    yield from _odd_files(record)


def degrees(temp_mc: int) -> str:
    """Return a temperature in °C as it is shown: at least one decimal, as many as it has."""
    value = Decimal(temp_mc) / _PER_DEGREE
    shown = f"{value.normalize():f}"
    return shown if "." in shown else f"{shown}.0"


def at_least(ms: int) -> str:
    """Return a length in words, rounded down to minutes."""
    return spoken(ms * _MS) if ms >= _MINUTE // _MS else "0 min"


def at_most(ms: int) -> str:
    """Return a length in words, rounded up to minutes."""
    whole = -(-(ms * _MS) // _MINUTE)
    return spoken(whole * _MINUTE) if whole else "0 min"


def _excursion(record: ColdRecord) -> Iterator[Finding]:
    if not record.exposure.outside:
        return
    parts = [
        text
        for side, totals in (
            (Side.ABOVE, record.exposure.above),
            (Side.BELOW, record.exposure.below),
        )
        if (text := _side(record, side, totals))
    ]
    frozen = f". {_REFROZEN}" if record.judged.band == "frozen" else ""
    says = f"excursion: {'; '.join(parts)}. {HELD}{frozen}"
    yield Finding(Level.STOP, "excursion", says, record.judged.item)


def _side(record: ColdRecord, side: Side, totals: Totals) -> str:
    found = [each for each in record.exposure.excursions if each.side is side]
    if not found:
        return ""
    count = sum(each.readings for each in found)
    limits = record.judged.limits
    extremes = [each.extreme_mc for each in found]
    if not record.exposure.listed_all:
        extremes.append(_end_mc(record, side))
    limit, extreme, word = (
        (limits.high_mc, max(extremes), "warmest")
        if side is Side.ABOVE
        else (limits.low_mc, min(extremes), "coldest")
    )
    more = "" if record.exposure.listed_all else "more than "
    return (
        f"{more}{_times(count, 'reading')} {side} {degrees(limit)} °C, {word} "
        f"{degrees(extreme)} °C; out at least {at_least(totals.at_least_ms)}, at most "
        f"{at_most(totals.at_most_ms)}"
    )


def _end_mc(record: ColdRecord, side: Side) -> int:
    """Return the warmest or the coldest reading of all, where not every excursion is listed."""
    described = record.description
    end = described.max_c if side is Side.ABOVE else described.min_c
    assert end is not None  # noqa: S101  there are readings outside
    return round(end * int(_PER_DEGREE))


def _unplaced(record: ColdRecord) -> Iterator[Finding]:
    temps = record.unplaced_mc
    if not len(temps):
        return
    count = len(temps)
    shown = f"{_times(count, 'temperature')} without a time that is known"
    ends = f"{degrees(int(temps.min()))} to {degrees(int(temps.max()))} °C"
    if record.unplaced_out:
        says = f"excursion: {shown}, {ends}: {record.unplaced_out:,} out of range. {HELD}"
        yield Finding(Level.STOP, "excursion-without-time", says, record.judged.item)
    else:
        says = f"{shown}, {ends}: look at those lines"
        yield Finding(Level.ACT, "no-time", says)


def _not_known(record: ColdRecord) -> Iterator[Finding]:
    """Yield that not everything was seen; not known is never good."""
    if record.verdict is Verdict.NOT_KNOWN:
        says = (
            "not known whether it was in range all the time: "
            f"{_why_not_known(record)}. Unknown time is not good time. Ask before anything "
            "from this unit is used"
        )
        yield Finding(Level.ACT, "not-known", says, record.judged.item)


def _why_not_known(record: ColdRecord) -> str:
    reasons = []
    if gaps := record.seen.gap_count:
        unknown = at_most(record.exposure.unknown_ms)
        reasons.append(f"{_times(gaps, 'gap')} of {unknown} in all")
    if record.exposure.undecidable:
        reasons.append(
            f"{_times(record.exposure.undecidable, 'reading')} on a limit of a display of "
            "whole degrees"
        )
    if any(file.record.ends_unread for file in record.files):
        reasons.append("times without a temperature before or after the readings")
    if record.not_read[Why.CUT_OFF]:
        reasons.append("a last line that is cut off")
    if len(record.unplaced_mc):
        reasons.append("temperatures without a time")
    return ", ".join(reasons) or "too few readings"


def _reports(record: ColdRecord) -> Iterator[Finding]:
    """Yield the local reports that are due; below a threshold an excursion is one too."""
    for answer in record.reports or ():
        if answer.asked is not Asked.NOTHING:
            due = "is due" if answer.asked is Asked.REPORT else "may be due"
            says = (
                f"a local report {due} ({answer.name}): out for {at_least(answer.lasted_ms)}, "
                f"at most {at_most(answer.at_most_ms)}"
            )
            yield Finding(Level.ACT, "report", says, answer.rule.item)


def _device(record: ColdRecord) -> Iterator[Finding]:
    """Yield what is odd about the logger itself: how often it reads, its clock, its display."""
    rule, interval = record.judged.protocol.logging, record.seen.interval_ms
    if (
        rule is not None
        and interval is not None
        and interval * _MS > rule.interval_most.longest()
    ):
        says = (
            f"a reading every {at_most(interval)}; at most "
            f"{spoken(rule.interval_most.longest())} apart is asked for"
        )
        yield Finding(Level.CHECK, "logging-interval", says, rule.item)
    for file in record.files:
        yield from _drift(file.layout.drift, file.name)
        stated = file.layout.stated_interval
        if stated is not None and interval is not None and stated // _MS != interval:
            says = (
                f"{file.name} states a reading every {at_most(stated // _MS)}; gaps are "
                f"measured by {at_most(interval)}"
            )
            yield Finding(Level.CHECK, "stated-interval", says)
    if record.seen.half_step_mc:
        says = (
            "a display of whole degrees: readings on a limit cannot be decided from it "
            f"({record.exposure.undecidable:,} here)"
        )
        yield Finding(Level.CHECK, "whole-degrees", says)


def _drift(drift: tuple[timedelta, timedelta | None] | None, name: str) -> Iterator[Finding]:
    if drift is not None and drift[0]:
        over = f" over {spoken(drift[1])}" if drift[1] else ""
        says = (
            f"{name} states that the logger's clock was off by {drift[0].total_seconds():+g} s"
            f"{over}; the times are as the logger wrote them"
        )
        yield Finding(Level.CHECK, "clock-drift", says)


def _odd_readings(record: ColdRecord) -> Iterator[Finding]:
    seen = record.seen
    if seen.conflicting:
        says = f"{_times(seen.conflicting, 'time')} with readings that differ; the worse counts"
        yield Finding(Level.CHECK, "conflicting", says)
    if seen.late_count:
        says = f"out of order: {_times(seen.late_count, 'reading')} after later ones"
        yield Finding(Level.CHECK, "out-of-order", says)
    if seen.spike_count:
        says = (
            f"{_times(seen.spike_count, 'reading')} that may be a fault of the probe; each "
            "counts as it is until a person says otherwise"
        )
        yield Finding(Level.CHECK, "spikes", says)
    if seen.readings >= _STUCK and seen.only_mc is not None:
        says = (
            f"all {seen.readings:,} readings are {degrees(seen.only_mc)} °C: is the probe "
            "stuck, or a copy?"
        )
        yield Finding(Level.CHECK, "one-value", says)


def _times(count: int, one: str) -> str:
    return f"{count:,} {one}{'' if count == 1 else 's'}"


def _odd_files(record: ColdRecord) -> Iterator[Finding]:
    if record.devices is None and record.verdict is not Verdict.IN_RANGE:
        says = (
            "too long a file for alarm rules of devices and for local reports: ask them of the "
            "days in question, in a shorter export"
        )
        yield Finding(Level.ACT, "not-asked", says)
    for why, code in ((Why.SKIPPED, "skipped-hour"), (Why.REPEATED, "repeated-hour")):
        if count := record.not_read[why]:
            says = f"{_times(count, 'line')} with {why}"
            yield Finding(Level.CHECK, code, says)
    if record.not_read[Why.CUT_OFF]:
        yield Finding(Level.CHECK, "cut-off", f"{Why.CUT_OFF}; read it on the display")
    others = record.not_read[Why.NO_VALUE] + record.not_read[Why.WIDE]
    if others:
        says = f"{_times(others, 'line')} with a time and no temperature that can be read"
        yield Finding(Level.CHECK, "no-temperature", says)
    unread = {name for file in record.files for name in file.layout.unread}
    if unread:
        says = f"columns of numbers that were not read: {', '.join(sorted(unread))}"
        yield Finding(Level.CHECK, "columns-not-read", says)
    names = {file.record.name.casefold(): file.record.name for file in record.files}
    if len(names) > 1:
        says = f"files joined whose probes have different names: {', '.join(names.values())}"
        yield Finding(Level.CHECK, "probes-joined", says)
