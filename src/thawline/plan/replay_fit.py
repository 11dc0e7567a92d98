"""
Does the played day look like the day that was? The record beside what simulated days give.

A recorded figure fits where it lies in the range of 95 of 100 simulated days, or within a
minute of it: the day is played to the minute. Where it does not, that is said.
"""

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import timedelta

import numpy as np

from thawline.base.compiled import Values
from thawline.base.instants import Instant
from thawline.plan.day_record import Recorded, RecordedHalf
from thawline.plan.flow_outcome import Estimate, estimate
from thawline.plan.replay import STEP, Replays
from thawline.plan.replay_kernel import (
    DOSES_GIVEN,
    GIVEN,
    LAST_S,
    LATE,
    LEFT_OVER,
    LONGEST_S,
    OPENED_VIALS,
    PEAK,
    PEOPLE,
    WAIT_S,
    WAITS_S,
)
from thawline.plan.service_times import LEVEL


@dataclass(frozen=True, slots=True)
class Beside:
    """
    One figure: recorded (None: not known), and of the simulated days mean and range.

    `fits`: None where the two are not held against each other.
    """

    recorded: float | None
    played: Estimate
    low: float
    high: float
    fits: bool | None = None


@dataclass(frozen=True, slots=True)
class HalfBeside:
    """
    One half hour: doses and mean wait, recorded and played.

    `wait_s`: None where on some played day nobody got ready in it.
    """

    recorded: RecordedHalf
    doses: Beside
    wait_s: Beside | None


@dataclass(frozen=True, slots=True)
class Fit:
    """The figures of a day by name, its half hours, and whether the waits and the end fit."""

    figures: dict[str, Beside]
    halves: tuple[HalfBeside, ...]

    @property
    def off(self) -> tuple[str, ...]:
        """Return the names of the figures that do not fit."""
        return tuple(name for name, each in self.figures.items() if each.fits is False)

    @property
    def off_halves(self) -> tuple[Instant, ...]:
        """Return when the half hours begin whose waits do not fit."""
        return tuple(
            each.recorded.starts
            for each in self.halves
            if each.wait_s is not None and each.wait_s.fits is False
        )


def fit(
    record: Recorded,
    begins: Instant,
    vials: tuple[int, int],
    played: Replays,
    promise: timedelta,
) -> Fit:
    """
    Return the record beside the played days.

    Args:
        record: Of the day.
        begins: When the first half hour begins.
        vials: Opened that day, and doses in each.
        played: The days.
        promise: Longer waits are counted.
    """
    opened, doses = vials
    known = bool(record.waits)
    last = None if record.last_dose is None else (record.last_dose - begins).total_seconds()
    figures = {
        "mean_wait_s": _held(_seconds(record.mean_wait), played.daily(WAIT_S)),
        "longest_wait_s": _held(
            _seconds(record.waits[-1]) if known else None, played.daily(LONGEST_S)
        ),
        "over_promise": _beside(record.over(promise) if known else None, played.daily(LATE)),
        "doses_given": _beside(record.doses, played.daily(GIVEN)),
        "last_dose_s": _held(last, played.daily(LAST_S)),
        "vials_opened": _beside(opened, played.daily(OPENED_VIALS)),
        "doses_left": _beside(opened * doses - record.doses, played.daily(LEFT_OVER)),
        "most_observed": _beside(record.most_observed, played.daily(PEAK)),
    }
    return Fit(figures, tuple(_halves(record, played)))


def _halves(record: Recorded, played: Replays) -> Iterator[HalfBeside]:
    for number, half in enumerate(record.halves):
        people, waits, doses = (
            played.by_time[:, number, k] for k in (PEOPLE, WAITS_S, DOSES_GIVEN)
        )
        wait = None
        if (people > 0).all():
            wait = _held(_seconds(half.wait), np.asarray(waits / people, np.float64))
        yield HalfBeside(half, _beside(half.doses, doses), wait)


def _held(recorded: float | None, daily: Values) -> Beside:
    """Return a figure in seconds with whether it fits."""
    found = _beside(recorded, daily)
    if recorded is None:
        return found
    near = STEP.total_seconds()
    fits = found.low - near <= recorded <= found.high + near
    return Beside(recorded, found.played, found.low, found.high, fits)


def _beside(recorded: float | None, daily: Values) -> Beside:
    low, high = np.quantile(daily, [(1 - LEVEL) / 2, (1 + LEVEL) / 2]).tolist()
    return Beside(recorded, estimate(daily), low, high)


def _seconds(wait: timedelta | None) -> float | None:
    return None if wait is None else wait.total_seconds()
