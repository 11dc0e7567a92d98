"""
What logger files say of one probe and of the band of its unit; records nothing.

The figures come from the cold store. Beside them stands everything that a person must know:
what is held, what is not known, and what in the files is odd.
"""

from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import timedelta

import numpy as np

from thawline.app.cold_findings import HELD, findings_of
from thawline.app.cold_record import ColdRecord, Judged, Seen
from thawline.base.errors import ProbablyFahrenheitError
from thawline.base.findings import Finding, Level, worst_first
from thawline.exchange.loggers.joined import Joined, LoggerFile, joined
from thawline.exchange.loggers.layout import Unit
from thawline.exchange.loggers.record import Record, Why
from thawline.rules.protocol import Protocol
from thawline.store.device_alarms import device_answers
from thawline.store.exposure import Exposure, Question, Verdict, exposure
from thawline.store.kinetic import described
from thawline.store.limits import Limits, limits
from thawline.store.readings import Temperatures
from thawline.store.reporting import report_answers
from thawline.store.tidy import Kind, Tidy, tidied

_MS = timedelta(milliseconds=1)
_PER_DEGREE = 1000
# A refrigerator file with its middle reading from 34 to 48 as °C is in °F (41 °F is 5 °C): the
# band of 2 to 8 °C and 0.889 °C beside it. Source: the project's cold-chain notes, 1.4 (9).
_COLDEST_F, _WARMEST_F = 34_000, 48_000
_BESIDE_MC = 889
_NEVER_MC = 60_000  # temperatures here are at most 60 °C; common practice
# A display of whole degrees shows itself only over some readings. [common practice]
_TELLING = 20


@dataclass(frozen=True, slots=True, eq=False)
class ColdReading:
    """The record with its figures, and what somebody must know of it, worst first."""

    record: ColdRecord
    findings: tuple[Finding, ...]


def cold_reading(files: Sequence[LoggerFile], judged: Judged) -> ColdReading:
    """
    Return what files of one probe say of its band.

    Raises:
        ProbablyFahrenheitError: Temperatures read as °C that must be °F.
    """
    whole = joined(files)
    refuse_fahrenheit(files, whole.readings.temp_mc, judged)
    tidy = tidied(whole.readings, _interval_ms(files, whole, judged), step_mc(files))
    found = exposure(tidy, Question(judged.limits, judged.accuracy_mc))
    rules = judged.protocol
    unplaced_out = out_of_range(whole.unplaced_mc, judged.limits)
    record = ColdRecord(
        files=tuple(files),
        seen=_seen(whole, tidy),
        judged=judged,
        exposure=found,
        description=described(tidy, activation_energy(rules)),
        devices=device_answers(tidy, rules.device_alarms),
        reports=report_answers(
            tidy,
            {name: rule for name, rule in rules.reporting.items() if rule.band == judged.band},
            {name: limits(band) for name, band in rules.bands.items()},
        ),
        unplaced_mc=whole.unplaced_mc,
        unplaced_out=unplaced_out,
        verdict=verdict_of(files, found, unplaced_out),
        not_read=sum((file.record.counts for file in files), Counter()),
    )
    return ColdReading(record, worst_first(findings_of(record)))


def activation_energy(rules: Protocol) -> float | None:
    """Return the protocol's figure for the mean kinetic temperature, in kJ/mol, if any."""
    return None if rules.kinetic is None else float(rules.kinetic.activation_energy_kj_per_mol)


def refuse_fahrenheit(files: Sequence[LoggerFile], temps: Temperatures, judged: Judged) -> None:
    """
    Refuse temperatures in °C that can only be °F.

    A freezer's file cannot be decided that way: -4 °F is -20 °C, and -4 °C is an excursion
    that happens.

    Raises:
        ProbablyFahrenheitError: They must be °F.
    """
    is_celsius = any(file.record.probe.unit is Unit.CELSIUS for file in files)
    if not is_celsius or not len(temps):
        return
    middle_mc, lowest_mc = float(np.median(temps)), int(temps.min())
    if lowest_mc <= _NEVER_MC and not _must_be_fahrenheit(middle_mc, lowest_mc, judged.limits):
        return
    number, as_f = middle_mc / _PER_DEGREE, _as_fahrenheit_mc(middle_mc) / _PER_DEGREE
    says = (
        f"probably °F read as °C: the middle reading is {number:.1f} °C, and {number:.1f} °F "
        f"is {as_f:.1f} °C. Nothing is concluded. If it really was that warm: {HELD}"
    )
    raise ProbablyFahrenheitError(
        Finding(Level.STOP, "probably-fahrenheit", says, judged.item),
        advice="look at the logger's display; read it again with --unit F, or correct the "
        "unit in the file",
    )


def _must_be_fahrenheit(middle_mc: float, lowest_mc: int, band: Limits) -> bool:
    """Say whether readings are far out of a band as °C, and in it or near it as °F."""
    if band.low_mc < 0:
        return False
    in_band = band.low_mc - _BESIDE_MC <= _as_fahrenheit_mc(middle_mc)
    in_band = in_band and _as_fahrenheit_mc(middle_mc) <= band.high_mc + _BESIDE_MC
    is_cold = band.high_mc <= _as_fahrenheit_mc(_WARMEST_F)
    return middle_mc > band.high_mc and (in_band or (is_cold and lowest_mc >= _COLDEST_F))


def _as_fahrenheit_mc(number: float) -> float:
    """Return what thousandths of a degree would be if they were of °F."""
    return (number - 32 * _PER_DEGREE) / 1.8


def _interval_ms(files: Sequence[LoggerFile], whole: Joined, judged: Judged) -> int | None:
    """Return the interval that gaps are measured by: as a person says, else the shorter one."""
    if judged.interval is not None:
        return judged.interval // _MS
    stated = [file.layout.stated_interval for file in files if file.layout.stated_interval]
    if not stated:
        return None
    usual = tidied(whole.readings).interval_ms
    shortest = min(stated) // _MS
    return shortest if usual is None else min(shortest, usual)


def step_mc(files: Sequence[LoggerFile]) -> int | None:
    """Return the step of a display of whole degrees Celsius; None where none is told."""
    records = [file.record for file in files]
    if any(each.probe.unit is not Unit.CELSIUS or each.decimals for each in records):
        return None
    return _PER_DEGREE if sum(len(each.readings) for each in records) >= _TELLING else None


def out_of_range(temps_mc: Temperatures, band: Limits) -> int:
    """Return how many temperatures are outside a band."""
    outside = (temps_mc > band.high_mc) | (temps_mc < band.low_mc)
    return int(np.count_nonzero(outside))


def verdict_of(files: Sequence[LoggerFile], found: Exposure, unplaced_out: int) -> Verdict:
    """Return the exposure's verdict, never milder for what has no time or no temperature."""
    if found.verdict is Verdict.EXCURSION or unplaced_out:
        return Verdict.EXCURSION
    if any(_hides(file.record) for file in files):
        return Verdict.NOT_KNOWN
    return found.verdict


def _hides(record: Record) -> bool:
    """Say whether a file held a temperature that is not among its readings."""
    cut_off = record.counts[Why.CUT_OFF] > 0
    return record.ends_unread or cut_off or len(record.unplaced_mc) > 0


def _seen(whole: Joined, tidy: Tidy) -> Seen:
    """Return what was found on the way through a record that is in memory."""
    at_ms, temps = tidy.settled.at_ms, whole.readings.temp_mc
    one = len(temps) > 0 and temps.min() == temps.max()
    return Seen(
        readings=len(temps),
        first_ms=int(at_ms[0]) if len(at_ms) else None,
        last_ms=int(at_ms[-1]) if len(at_ms) else None,
        interval_ms=tidy.interval_ms,
        half_step_mc=tidy.half_step_mc,
        gaps=tidy.gaps,
        gap_count=len(tidy.gaps),
        duplicates=tidy.duplicates,
        duplicate_count=len(tidy.duplicates),
        conflicting=sum(each.kind is Kind.CONFLICTING for each in tidy.duplicates),
        spikes=tidy.spikes,
        spike_count=len(tidy.spikes),
        late=whole.late,
        late_count=whole.late_count,
        repeated=whole.repeated,
        only_mc=int(temps[0]) if one else None,
    )
