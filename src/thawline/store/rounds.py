"""
Which looks that people should have taken are missing: at the tables, and at each display.

A look that is not written down is a record that is missing, and says nothing about the
temperature: what was not read is not known.
Source of the daily entry: Centers for Disease Control and Prevention, training modules of
November 2021 and February 2024: minimum and maximum at the start of each workday.
"""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from datetime import date
from itertools import pairwise
from zoneinfo import ZoneInfo

from thawline.base.findings import Finding, Level
from thawline.base.instants import Instant, local_date, local_time
from thawline.rules.cold import Every, TimesADay


@dataclass(frozen=True, slots=True)
class InUse:
    """A table and when vials stood on it; `until` None: they still do."""

    table: str
    since: Instant
    until: Instant | None = None


def missing_at_table(
    table: InUse, read_at: Sequence[Instant], rule: Every, zone: ZoneInfo, now: Instant
) -> tuple[Finding, ...]:
    """
    Return each time that a table in use was not read when it was due.

    The first reading is due so long after the first vial came; one taken exactly when it is
    due is in time, and at that instant without one it is missing.
    """
    still_there = table.until is None or now < table.until
    end = now if table.until is None else min(now, table.until)
    looks = [table.since, *sorted(at for at in read_at if table.since <= at <= end)]
    longest = rule.every.longest()
    missed = [at for at, following in pairwise(looks) if following - at > longest]
    waited = end - looks[-1]
    if waited > longest or (still_there and waited == longest):
        missed.append(looks[-1])
    return tuple(_not_read(table, at, rule, zone) for at in missed)


def missing_entries(
    unit: str, workday: date, read_at: Sequence[Instant], rule: TimesADay, zone: ZoneInfo
) -> tuple[Finding, ...]:
    """
    Return what is missing of a unit's display readings on a day of work.

    Args:
        unit: The storage unit.
        workday: The local date.
        read_at: When its display was read, on any day.
        rule: How often a day it is to be read.
        zone: Where the unit stands.
    """
    taken = sum(local_date(at, zone) == workday for at in read_at)
    if taken >= rule.times_a_day:
        return ()
    return tuple(_entries_missing(unit, workday, taken, rule))


def _entries_missing(
    unit: str, workday: date, taken: int, rule: TimesADay
) -> Iterator[Finding]:
    day = f"{workday.strftime('%a')} {workday.day} {workday.strftime('%b')}"
    if taken == 0:
        says = (
            f"workday without entry: nobody read the display of {unit} on {day}. "
            "Read now, lowest and highest, write them down, reset"
        )
        yield Finding(Level.ACT, "missing-record", says, rule.item)
    else:
        says = f"{taken} of {rule.times_a_day} readings of the display of {unit} on {day}"
        yield Finding(Level.CHECK, "missing-record", says, rule.item)


def _not_read(table: InUse, looked: Instant, rule: Every, zone: ZoneInfo) -> Finding:
    due = Instant(looked + rule.every.longest())
    says = (
        f"no reading at {table.table} since {_clock(looked, zone)}, "
        f"due {_clock(due, zone)}. Read the thermometer there and type it in"
    )
    return Finding(Level.ACT, "table-not-read", says, rule.item)


def _clock(at: Instant, zone: ZoneInfo) -> str:
    return local_time(at, zone).strftime("%H:%M")
