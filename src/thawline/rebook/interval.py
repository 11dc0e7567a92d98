"""
When a second dose may be booked, and what a second dose on a given day counts as.

The day of the first dose is day 0, by local calendar dates. Booking starts on the earliest
day, and nothing moves it forward: the days of grace judge what has happened and never book.
A series is not restarted for lateness. See docs/background/second-dose.md.
"""

from dataclasses import dataclass
from datetime import date
from enum import StrEnum

from thawline.base.errors import RecordError, RuleError
from thawline.base.findings import Finding, Level
from thawline.rebook.dates import later
from thawline.rules.protocol import SecondDose


class Verdict(StrEnum):
    """What a second dose counts as, by the days since the first."""

    ERROR = "error"
    GRACE = "grace"
    RECOMMENDED = "recommended"
    IN_WINDOW = "in-window"
    LATE = "late"


@dataclass(frozen=True, slots=True)
class SecondDates:
    """The dates that a first dose sets; `late_after` is the last day in the window."""

    earliest_valid: date
    earliest_bookable: date
    due: date
    late_after: date


@dataclass(frozen=True, slots=True)
class Judgement:
    """What a second dose counts as; `repeat_not_before` is None where none is repeated."""

    day: int
    verdict: Verdict
    says: str
    repeat_not_before: date | None
    findings: tuple[Finding, ...]


def second_dates(first: date, rule: SecondDose) -> SecondDates:
    """
    Return the dates of the second dose; due is the day it may first be booked.

    Raises:
        RecordError: The calendar does not reach that far.
    """
    due = later(first, days=rule.earliest.days)
    return SecondDates(
        earliest_valid=later(due, days=-rule.grace_for_judging.days),
        earliest_bookable=due,
        due=due,
        late_after=later(first, days=rule.late_after.days),
    )


def judged(first: date, given: date, rule: SecondDose) -> Judgement:
    """
    Return what a dose on the day counts as after the first, under the rule of that day.

    Raises:
        RecordError: The dose is dated before the first one.
        RuleError: The rule repeats a dose that came too early, and does not say how long after.
    """
    if given < first:
        raise RecordError(
            f"the second dose, given {given.isoformat()}, is before the first, "
            f"given {first.isoformat()}",
            advice="look at both dates; the earlier one is the first dose",
        )
    verdict = verdict_on((given - first).days, rule)
    repeat = repeat_day(given, rule) if verdict is Verdict.ERROR else None
    says = _says((given - first).days, verdict, rule, repeat)
    return Judgement(
        (given - first).days, verdict, says, repeat, _findings(verdict, says, rule)
    )


def verdict_on(day: int, rule: SecondDose) -> Verdict:
    """Return what a second dose counts as that many days after the first."""
    if day < rule.earliest.days - rule.grace_for_judging.days:
        return Verdict.ERROR
    if day < rule.earliest.days:
        return Verdict.GRACE
    if day == rule.earliest.days:
        return Verdict.RECOMMENDED
    return Verdict.IN_WINDOW if day <= rule.late_after.days else Verdict.LATE


def repeat_day(invalid: date, rule: SecondDose) -> date | None:
    """
    Return the first day on which a dose that came too early may be repeated, counted from it.

    None where the rule does not repeat it.

    Raises:
        RuleError: The rule repeats it and does not say how long after.
    """
    if not rule.repeat_when_too_early:
        return None
    if rule.repeat_after is None:
        raise RuleError(
            f"item {rule.item} repeats a dose that came too early, and not how long after",
            key="schedule.dose_2.repeat_after",
            advice="write repeat_after, as in P28D",
        )
    return later(invalid, days=rule.repeat_after.days)


def _says(day: int, verdict: Verdict, rule: SecondDose, repeat: date | None) -> str:
    earliest, grace = rule.earliest.days, rule.grace_for_judging.days
    said = {
        Verdict.ERROR: f"Day {day}, valid from day {earliest - grace}: an administration "
        f"error. {_repeat_says(repeat)} Tell the person, report it.",
        Verdict.GRACE: f"Day {day}: valid by the {grace} days of grace, which judge and never "
        f"book; booking is from day {earliest}.",
        Verdict.RECOMMENDED: f"Day {day}: the recommended day.",
        Verdict.IN_WINDOW: f"Day {day}: in the window, up to day {rule.late_after.days}.",
        Verdict.LATE: f"Day {day}, late after day {rule.late_after.days}: it counts, and the "
        "series is not restarted.",
    }
    return said[verdict]


def _repeat_says(repeat: date | None) -> str:
    return (
        "Do not repeat it."
        if repeat is None
        else f"Repeat it, not before {repeat.isoformat()}."
    )


def _findings(verdict: Verdict, says: str, rule: SecondDose) -> tuple[Finding, ...]:
    if verdict is Verdict.ERROR:
        return (Finding(Level.ACT, "too-early", f"Dose 2 came too early. {says}", rule.item),)
    if verdict is Verdict.GRACE:
        return (Finding(Level.CHECK, "in-grace", f"Dose 2 came early. {says}", rule.item),)
    return ()
