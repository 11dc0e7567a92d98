"""
What a long logger file says of its band, from readings that were folded while they were read.

It is the answer of a file in memory, with two differences, and both are said: alarm rules of
devices and local reports are not asked, and long lists are cut off and counted.
"""

from thawline.app.cold_findings import findings_of
from thawline.app.cold_reading import (
    ColdReading,
    out_of_range,
    refuse_fahrenheit,
    verdict_of,
)
from thawline.app.cold_record import ColdRecord, Judged, Seen
from thawline.base.findings import worst_first
from thawline.exchange.loggers.joined import LoggerFile
from thawline.store.kinetic import Description
from thawline.store.running import Answer
from thawline.store.tidy_blocks import Found

_PER_DEGREE = 1000


def long_reading(
    beginning: LoggerFile,
    rest: LoggerFile,
    answer: Answer,
    interval_and_half_step: tuple[int | None, int],
    judged: Judged,
) -> ColdReading:
    """
    Return what a file says whose readings were folded.

    Args:
        beginning: The file with its first readings.
        rest: The file with the lines that gave no reading, and no readings.
        answer: What all readings say.
        interval_and_half_step: That gaps were measured by, and how far the display hides.
        judged: What it is held against.

    Raises:
        ProbablyFahrenheitError: Temperatures read as °C that must be °F.
    """
    refuse_fahrenheit([beginning], beginning.record.readings.temp_mc, judged)
    unplaced = rest.record.unplaced_mc
    unplaced_out = out_of_range(unplaced, judged.limits)
    record = ColdRecord(
        files=(rest,),
        seen=_seen(answer.found, answer.description, interval_and_half_step),
        judged=judged,
        exposure=answer.exposure,
        description=answer.description,
        devices=None,
        reports=None,
        unplaced_mc=unplaced,
        unplaced_out=unplaced_out,
        verdict=verdict_of([rest], answer.exposure, unplaced_out),
        not_read=rest.record.counts,
    )
    return ColdReading(record, worst_first(findings_of(record)))


def _seen(found: Found, described: Description, measured: tuple[int | None, int]) -> Seen:
    """Return what was found on the way; the lines of readings that came late are not known."""
    one = described.min_c if described.min_c == described.max_c else None
    return Seen(
        readings=found.raw,
        first_ms=found.first_ms,
        last_ms=found.last_ms,
        interval_ms=measured[0],
        half_step_mc=measured[1],
        gaps=found.gaps,
        gap_count=found.gap_count,
        duplicates=found.duplicates,
        duplicate_count=found.duplicate_count,
        conflicting=found.conflicting_count,
        spikes=found.spikes,
        spike_count=found.spike_count,
        late=(),
        late_count=found.disorder.count,
        repeated=0,
        only_mc=None if one is None else round(one * _PER_DEGREE),
    )
