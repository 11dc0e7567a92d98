"""
Many staffings on the same days: the same people, as late and as slow, whoever serves them.

Two staffings then differ by their people only, and far fewer days tell which is better. The
answer for a staffing has the same bits whichever others are played beside it, and however the
days are divided. See docs/background/ranking.md.
"""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from datetime import timedelta

import numpy as np

from thawline.base.compiled import Values, passed
from thawline.base.errors import RecordError
from thawline.plan.clinic_day import ClinicDay
from thawline.plan.flow import buckets, comers, laws, seed_word, settings_of, told_apart
from thawline.plan.flow_kernel import COLUMNS
from thawline.plan.general_flow_kernel import BY_TIME, STATES
from thawline.plan.half_hours import HALF_HOUR
from thawline.plan.lines_kernel import DESKS
from thawline.plan.same_days_kernel import BESIDES, COMERS, late_days

Staffing = tuple[tuple[int, ...], ...]
"""For each station the people serving in each half hour from opening on."""


@dataclass(frozen=True, slots=True, eq=False)
class Late:
    """
    Who waited longer than promised, by the half hour of coming.

    Args:
        came: shape (days, half hours), people; the same for every staffing.
        late: shape (staffings, days, half hours), those of them who waited longer.
    """

    came: Values
    late: Values


def late_by_staffing(
    day: ClinicDay,
    staffings: Sequence[Staffing],
    seed: int,
    numbers: tuple[int, int],
    promise: timedelta,
) -> Late:
    """
    Return who waited longer than promised on the same days, for each staffing.

    Args:
        day: What is known before; the people serving in it are left aside.
        staffings: Who serves.
        seed: As for `clinic_days`, and with the same people.
        numbers: Number of the first day, and how many.
        promise: Waits that are longer count, all stations together.

    Raises:
        RecordError: Doses are counted at a station: whoever gets none has no wait to compare.
    """
    if any(station.vials for station in day.stations):
        raise RecordError(
            "staffings are ranked where there is a dose for everybody",
            advice="leave the vials out",
        )
    (first, days), halves = numbers, told_apart(day)
    order = sorted(range(len(staffings)), key=lambda n: staffings[n])
    serving, ways, shared = _numbered([_filled(staffings[n], halves) for n in order])
    stations = len(day.stations)
    people = day.most_people + int(max(map(max, serving))) + STATES
    came = passed(np.zeros((days, halves)))
    late = passed(np.zeros((days, len(staffings), halves)))
    who, how = comers(day), laws(day)[0]
    late_days(
        seed_word(seed, first, days), first, days, *who, passed(serving), passed(ways),
        passed(shared), how, *buckets(day), passed([settings_of(s) for s in day.stations]),
        int(day.is_split), HALF_HOUR.total_seconds(), promise.total_seconds(),
        passed(np.zeros((COMERS * (stations + 1 + DESKS) + BESIDES, people))),
        passed(np.zeros((2, max(halves * BY_TIME, COLUMNS)))), came, late,
    )  # fmt: skip
    found = np.empty((len(staffings), days, halves))
    found[order] = np.array(late, np.float64).transpose(1, 0, 2)
    return Late(np.array(came, np.float64), found)


def _filled(staffing: Staffing, halves: int) -> Staffing:
    """Return the staffing for so many half hours; the last one goes on."""
    return tuple(each + each[-1:] * (halves - len(each)) for each in staffing)


def _numbered(
    staffings: Sequence[Staffing],
) -> tuple[list[tuple[int, ...]], list[list[int]], list[int]]:
    """Return ways of serving, their numbers in each staffing, and stations shared."""
    known: dict[tuple[int, ...], int] = {}
    ways = [[known.setdefault(way, len(known)) for way in each] for each in staffings]
    shared, before = [], [-1] * len(ways[0])
    for here in ways:
        alike = [a == b for a, b in zip(before, here, strict=True)]
        shared.append(alike.index(False) if False in alike else len(alike))
        before = here
    return list(known), ways, shared


def staffed(day: ClinicDay, staffing: Staffing) -> ClinicDay:
    """Return the day with these people serving."""
    stations = zip(day.stations, staffing, strict=True)
    return replace(
        day, stations=tuple(replace(station, servers=each) for station, each in stations)
    )
