"""
How many people come by the end of each half-hour: bookings, kind of day, walk-ups, lateness.

On one kind of day each person booked comes or not by themselves, early or late by a table of
shifts; people without a booking come at random (Poisson). Over the kinds of day it is their
weighted mean. See docs/background/demand.md.
"""

from collections import Counter
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass

import numpy as np
from scipy.fft import next_fast_len
from scipy.stats import poisson

from thawline.base.errors import RecordError
from thawline.plan.attendance import Distribution
from thawline.plan.day_kinds import DayKinds
from thawline.plan.opening_kernel import Numbers

_RARE = 1e-12  # more walk-ups than this chance are not told apart
_WHOLE = 1e-9
ON_TIME: Mapping[int, float] = {0: 1.0}
"""Everybody comes in the half-hour of their place."""


@dataclass(frozen=True, slots=True)
class Party:
    """
    People booked in one half-hour, of one group, who have not come yet.

    `arrived_share`: of those who come at all, the share that would be here by now; `by_end`:
    the same for the end of each half-hour of the plan, never falling.
    """

    no_show: float
    people: int
    by_end: tuple[float, ...]
    arrived_share: float = 0.0


def checked_shifts(shifts: Mapping[int, float]) -> Mapping[int, float]:
    """
    Return the table of shifts: the share of people so many half-hours early (-) or late.

    Raises:
        RecordError: A share is not a share, or they are not 1 in all.
    """
    if min(shifts.values(), default=-1) < 0 or abs(sum(shifts.values()) - 1) > _WHOLE:
        raise RecordError(
            f"shares of early and late are not 1 in all: {dict(shifts)}",
            advice="one share for each half-hour early or late, as in -1: 0.1, 0: 0.9",
        )
    return shifts


def arrived_by(shifts: Mapping[int, float], half_hours_after: int) -> float:
    """Return the share here by the end of the half-hour so many after the one of the place."""
    return min(1.0, sum(share for shift, share in shifts.items() if shift <= half_hours_after))


def people_by(
    parties: Sequence[Party], walk_ups: Sequence[float], kinds: DayKinds
) -> list[Distribution]:
    """
    Return how many come from now until the end of each half-hour.

    Args:
        parties: Who is booked.
        walk_ups: People without a booking from now until each end, on average.
        kinds: The kinds of day.
    """
    most_walking = int(poisson.isf(_RARE, max(walk_ups, default=0))) if any(walk_ups) else 0
    size = next_fast_len(sum(party.people for party in parties) + most_walking + 1, real=True)
    around = np.exp(-2j * np.pi * np.arange(size // 2 + 1) / size)
    found = []
    for number, walking in enumerate(walk_ups):
        waves = np.exp(walking * (around - 1))[None, :]
        for chance, people in _alike(parties, number):
            comes = _comes(chance, kinds)[:, None]
            waves = waves * (1 + comes * (around - 1)) ** people
        mean = kinds.weights @ np.broadcast_to(waves, (len(kinds.weights), around.size))
        chances = np.maximum(np.fft.irfft(mean, size), 0)
        found.append(chances / chances.sum())
    return found


def _alike(
    parties: Sequence[Party], number: int
) -> Iterator[tuple[tuple[float, float, float], int]]:
    """Yield no-show, share here now and share here by then, with the people they hold for."""
    alike: Counter[tuple[float, float, float]] = Counter()
    for party in parties:
        if party.by_end[number] > party.arrived_share:
            alike[party.no_show, party.arrived_share, party.by_end[number]] += party.people
    yield from alike.items()


def _comes(chance: tuple[float, float, float], kinds: DayKinds) -> Numbers:
    """Return the chance to come between now and then, of somebody who is not here yet."""
    share, now, then = chance
    stays = kinds.no_show(share)
    found: Numbers = (1 - stays) * (then - now) / (stays + (1 - stays) * (1 - now))
    return found
