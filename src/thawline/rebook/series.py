"""
Where a person stands in the series of two doses, from the dates of the doses they had.

A dose that came too early counts or is to be repeated by the version in force when it was
given; the repeat is spaced from the dose that came too early. Where a dose happened between two
times, the next one is counted from the later, and itself judged by the earlier.
"""

from collections.abc import Callable, Iterable
from dataclasses import dataclass
from datetime import date
from zoneinfo import ZoneInfo

from thawline.base.instants import Occurred, from_ms, local_date, zone_named
from thawline.person.fold import PersonState
from thawline.rebook.interval import (
    Judgement,
    Verdict,
    judged,
    repeat_day,
    second_dates,
    verdict_on,
)
from thawline.rules.protocol import SecondDose

_FIRST, _SECOND = 1, 2


@dataclass(frozen=True, slots=True)
class DoseDay:
    """
    The local dates between which a dose is given; equal when the day is known.

    `when` is between which instants that was, None where only the dates are known.
    """

    earliest: date
    latest: date
    when: Occurred | None = None


RuleOn = Callable[[DoseDay], SecondDose]
"""The rule for a dose given then: as strict as each version that may have been in force."""


def on_day(day: date) -> DoseDay:
    """Return a dose at some time of a local date."""
    return DoseDay(day, day)


def occurred_on(when: Occurred, zone: ZoneInfo) -> DoseDay:
    """Return a dose of which the time is known, exactly or between two."""
    return DoseDay(local_date(when.lo, zone), local_date(when.hi, zone), when)


@dataclass(frozen=True, slots=True)
class Awaited:
    """The dose that is still to come, with the dates it is to come between."""

    counted_from: date
    due: date
    late_after: date
    repeats: bool


def dose_days(state: PersonState) -> tuple[DoseDay, ...]:
    """Return the days of every dose the person had, here and elsewhere, in their order."""
    here = [
        occurred_on(Occurred(from_ms(dose.lo_ms), from_ms(dose.hi_ms)), zone_named(dose.zone))
        for dose in state.doses
    ]
    elsewhere = [day for told in state.told if (day := _told_day(told.given_on))]
    return tuple(sorted([*here, *map(on_day, elsewhere)], key=_by_date))


def _by_date(dose: DoseDay) -> tuple[date, date]:
    return dose.earliest, dose.latest


def has_undated_dose(state: PersonState) -> bool:
    """Say whether a dose told from a card has no day that can be read; nothing is then due."""
    return any(_told_day(told.given_on) is None for told in state.told)


def awaited(doses: Iterable[DoseDay], then: DoseDay, rule_on: RuleOn) -> Awaited | None:
    """
    Return the second dose, or its repeat, that is still to come; None when there is none.

    Doses had are judged by the rule of their time, the one to come is dated by the rule for
    `then`. None also before the first dose: nobody waits for a second one then.

    Raises:
        RuleError: As `repeat_day`.
    """
    had = sorted(doses, key=_by_date)
    if not had:
        return None
    first, *following = had
    counted_from, repeat = first.latest, None
    for dose in following:
        repeat = _repeat_of(dose, counted_from, rule_on(dose))
        if repeat is None:
            return None
        counted_from = dose.latest
    dates = second_dates(counted_from, rule_on(then))
    due = dates.due if repeat is None else max(dates.due, repeat)
    return Awaited(counted_from, due, dates.late_after, repeats=repeat is not None)


def next_dose(state: PersonState, then: DoseDay, rule_on: RuleOn) -> int | None:
    """
    Return which dose a person comes for then, a repeat being a second one; None after both.

    Raises:
        RuleError: As `repeat_day`.
    """
    if has_undated_dose(state):
        return _SECOND
    had = dose_days(state)
    if not had:
        return _FIRST
    return None if awaited(had, then, rule_on) is None else _SECOND


def judged_next(doses: Iterable[DoseDay], given: DoseDay, rule_on: RuleOn) -> Judgement | None:
    """
    Return what a further dose counts as, by its earlier date, from the dose it follows.

    A repeat follows the dose that came too early. None for a first dose, and for one after the
    series was complete. A day inside the uncertain time of the dose before counts as day 0.
    """
    to_come = awaited(doses, given, rule_on)
    if to_come is None:
        return None
    counted_from = to_come.counted_from
    return judged(counted_from, max(given.earliest, counted_from), rule_on(given))


def _repeat_of(dose: DoseDay, counted_from: date, rule: SecondDose) -> date | None:
    """Return when the dose is to be repeated; None when it counts, early or not."""
    verdict = verdict_on((dose.earliest - counted_from).days, rule)
    return repeat_day(dose.latest, rule) if verdict is Verdict.ERROR else None


def _told_day(given_on: str) -> date | None:
    try:
        return date.fromisoformat(given_on)
    except ValueError:
        return None
