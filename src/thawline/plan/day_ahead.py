"""
A staffed day as people will see it: how long they wait by when they come, doses given by then.

The waits are those of people over all simulated days, not of days; the doses are those of days.
"""

from collections.abc import Callable, Sequence
from datetime import timedelta

import numpy as np

from thawline.base.compiled import Values
from thawline.plan.clinic_day import ClinicDay
from thawline.plan.flow_outcome import Outcome
from thawline.plan.general_flow_kernel import BEGUN
from thawline.plan.half_hours import HALF_HOUR
from thawline.plan.same_days import Late

_FEW = 1.0  # as for the promise: where fewer come on average nothing is shown
_MINUTE = timedelta(minutes=1)
_FINE, _STEP = 60, 5  # minutes that are told apart one by one, and in which steps after them

Waits = Callable[[timedelta], Late]
"""Plays the same days of one staffing, and counts waits longer than any limit."""


def waits_min(levels: Sequence[float], play: Waits) -> tuple[tuple[float, ...] | None, ...]:
    """
    Return the minutes that so large shares of people wait less than, by half hour of coming.

    Straight lines between whole minutes; None for a half hour in which hardly anybody comes.

    Args:
        levels: Shares of the people, rising, below 1.
        play: Counts waits longer than a limit.
    """
    limits: list[float] = []
    shares: list[Values] = []
    limit, enough = 0, False
    while not enough:
        found = play(limit * _MINUTE)
        came, late = found.came.sum(axis=0), found.late[0].sum(axis=0)
        some = came >= _FEW * len(found.came)
        within = np.where(some, 1 - late / np.maximum(came, 1), 1.0)
        limits.append(float(limit))
        shares.append(within)
        enough = bool((within >= levels[-1]).all())
        limit += 1 if limit < _FINE else _STEP
    return tuple(
        _at(levels, limits, row) if here else None
        for here, row in zip(some.tolist(), np.array(shares).T, strict=True)
    )


def _at(levels: Sequence[float], limits: Sequence[float], within: Values) -> tuple[float, ...]:
    found = []
    for level in levels:
        here = int(np.searchsorted(within, level))  # the first limit that is enough
        before = max(here - 1, 0)
        known = within[[before, here]]
        found.append(float(np.interp(level, known, [limits[before], limits[here]])))
    return tuple(found)


def doses_by(outcome: Outcome, levels: Sequence[float]) -> tuple[tuple[float, ...], ...]:
    """
    Return the doses given from opening to the end of each half hour, at shares of the days.

    A dose counts when its turn begins at the last station.

    Args:
        outcome: Days with half hours followed.
        levels: Shares of the days, as in 0.05, 0.5, 0.95.
    """
    assert outcome.by_time is not None  # noqa: S101  half hours are followed
    begun = outcome.by_time[:, len(outcome.stations) - 1, :, BEGUN].cumsum(axis=1)
    return tuple(map(tuple, np.quantile(begun, levels, axis=0).T.tolist()))


def expected_by(day: ClinicDay, halves: int) -> tuple[float, ...]:
    """Return how many are expected from opening to the end of each half hour, if on time."""
    walk_ups = day.walk_ups or (0.0,) * len(day.bookings)
    people = np.zeros(halves)
    for slot, (booked, walking) in enumerate(zip(day.bookings, walk_ups, strict=True)):
        half = min(int(slot * day.slot / HALF_HOUR), halves - 1)
        people[half] += booked * (1 - day.no_show) + walking
    return tuple(people.cumsum().tolist())
