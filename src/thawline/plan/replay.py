"""
A day that was, played again: the people who came as they came, the turns by chance.

The same day may be played with one thing changed: whoever comes, how long each person keeps a
chair and each dose is in drawing stay the same, so a difference is the change's and not
chance's. See docs/background/replay.md.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import timedelta

import numpy as np

from thawline.base.compiled import Values, passed, word
from thawline.base.errors import RecordError
from thawline.plan.clinic_day import MOST_SERVERS, Vials
from thawline.plan.flow import SEEDS
from thawline.plan.general_flow_kernel import SETTINGS, STATES
from thawline.plan.half_hours import HALF_HOUR
from thawline.plan.quantile_tables import Law
from thawline.plan.replay_kernel import BY_TIME, FIGURES, replayed_days

STEP = timedelta(minutes=1)
"""How finely the people at work are told apart over the day."""
_ROOM = 10  # rows of the kernel's room


@dataclass(frozen=True, slots=True)
class Example:
    """
    What a file of stations says, for where the record says too little.

    `before_chair`: mean time at the stations before the chair; `says`: where it comes from.
    """

    before_chair: timedelta
    chair: Law
    drawing: Law
    says: str
    drawing_says: str


@dataclass(frozen=True, slots=True)
class Comer:
    """
    Somebody who was booked or who came, as the record has it; times count from the beginning.

    `due`: the time booked; None: without a booking. `ready`: in line for a chair; None: stayed
    away. `takes_dose`: False for whoever sat down and left without one.
    """

    due: timedelta | None
    ready: timedelta | None
    takes_dose: bool
    stays: timedelta

    def __post_init__(self) -> None:
        if self.due is None and self.ready is None:
            raise RecordError("somebody neither booked nor there", advice="leave them out")


@dataclass(frozen=True, slots=True, eq=False)
class ReplayDay:
    """
    One day of the record, ready to be played.

    Args:
        people: Everybody booked or there, in any order.
        lateness: How long after the time booked people are ready for a chair.
        chair: How long a person keeps a chair.
        chairs: How many there are in each step; the last one goes on.
        drawing: How long one dose is in drawing.
        tables: Draw tables in each step.
        vials: Doses in each, how long an opened one lasts, and when each may be opened.
        thawed: Whether each of them was out of the freezer before the first person was ready.
        ahead: Doses that lie drawn at most.
        needle: From sitting down to the dose.
        stayed_away: The share of bookings that stayed away, as recorded.
        no_show: The share of bookings that stays away instead; None: who did.
    """

    people: tuple[Comer, ...]
    lateness: Law
    chair: Law
    chairs: tuple[int, ...]
    drawing: Law
    tables: tuple[int, ...]
    vials: Vials
    thawed: tuple[bool, ...]
    ahead: int
    needle: timedelta
    stayed_away: float
    no_show: float | None = None

    def __post_init__(self) -> None:
        for name, many in (("chairs", self.chairs), ("draw tables", self.tables)):
            if not many or many[-1] < 1 or not all(0 <= n <= MOST_SERVERS for n in many):
                raise RecordError(
                    f"{name}: {max(many, default=0)} at work, {many[-1:]} at the end",
                    advice=f"1 or more at the end, at most {MOST_SERVERS}",
                )
        if self.ahead < 1:
            raise RecordError(f"{self.ahead} doses drawn ahead", advice="1 or more")
        if not any(each.ready is not None for each in self.people):
            raise RecordError("nobody came that day", advice="ask about another day")

    @property
    def half_hours(self) -> int:
        """Return how many half hours the day has; the last one holds all that is later."""
        return -(-max(len(self.chairs), len(self.tables)) * STEP // HALF_HOUR)


@dataclass(frozen=True, slots=True, eq=False)
class Replays:
    """
    What so many played days came to.

    Args:
        seed: Of the random words.
        first: Number of the first day.
        figures: shape (days, 10), columns of `replay_kernel`.
        by_time: shape (days, half hours, 3), as `PEOPLE`, `WAITS_S` and `DOSES_GIVEN` there.
    """

    seed: int
    first: int
    figures: Values
    by_time: Values

    @property
    def days(self) -> int:
        """Return how many days there are."""
        return len(self.figures)

    def daily(self, column: int) -> Values:
        """Return a figure of each day."""
        return self.figures[:, column]


def replayed(
    day: ReplayDay, seed: int, numbers: tuple[int, int], promise: timedelta
) -> Replays:
    """
    Return the figures of so many days.

    Args:
        day: As the record has it, or with something changed.
        seed: 0 or more; the same seed and number of a day give the same turns.
        numbers: Number of the first day, and how many.
        promise: Waits that are longer are counted.
    """
    first, days = numbers
    if not 0 <= seed < SEEDS:
        raise RecordError(f"a seed of {seed}", advice=f"a whole number from 0 to {SEEDS - 1}")
    steps = day.half_hours * (HALF_HOUR // STEP)
    room = len(day.people) + max(*day.chairs, *day.tables) + STATES
    figures = passed(np.zeros((days, FIGURES)))
    by_time = passed(np.zeros((days, day.half_hours * BY_TIME)))
    ready = day.vials.ready
    planned = [float(day.vials.doses), day.vials.life.total_seconds(), float(ready is not None)]
    settings = np.zeros((2, SETTINGS))
    settings[1] = [1, 0, *planned]
    replayed_days(
        word(seed), first, days, passed(_traits(day)), passed(day.lateness.table),
        passed(day.chair.table), passed(_whole_day(day.chairs, steps)),
        passed(day.drawing.table), passed(_whole_day(day.tables, steps)), passed(settings),
        passed([at.total_seconds() for at in ready or ()]), day.ahead, STEP.total_seconds(),
        HALF_HOUR.total_seconds(), day.needle.total_seconds(), promise.total_seconds(),
        passed(np.zeros((_ROOM, room))), figures, by_time,
    )  # fmt: skip
    shape = (days, day.half_hours, BY_TIME)
    return Replays(
        seed, first, np.array(figures, np.float64), np.array(by_time, np.float64).reshape(shape)
    )


def joined(parts: Sequence[Replays]) -> Replays:
    """Return blocks of days of one run as one."""
    return Replays(
        parts[0].seed,
        parts[0].first,
        np.concatenate([part.figures for part in parts]),
        np.concatenate([part.by_time for part in parts]),
    )


def _whole_day(many: Sequence[int], steps: int) -> list[float]:
    return [float(n) for n in (*many, *(many[-1],) * (steps - len(many)))]


def _traits(day: ReplayDay) -> Values:
    """Return what the kernel is told of each person, in the order in which they were ready."""
    people = sorted(day.people, key=_place)
    return np.array(
        [
            [
                _chance(each, day.stayed_away, day.no_show),
                float(each.ready is not None),
                _place(each).total_seconds(),
                float(each.takes_dose),
                each.stays.total_seconds(),
            ]
            for each in people
        ]
    )


def _place(comer: Comer) -> timedelta:
    """Return when somebody was ready, or was booked for."""
    at = comer.due if comer.ready is None else comer.ready
    return at or timedelta(0)


def _chance(comer: Comer, recorded: float, wanted: float | None) -> float:
    """
    Return the chance that somebody comes when another share of the bookings stays away.

    Where more stay away, some of those who came do not; where fewer do, some of those who
    stayed away come. Nobody is exchanged for somebody else.
    """
    came = comer.ready is not None
    if wanted is None or comer.due is None:
        return float(came)
    if came:
        return min(1.0, (1 - wanted) / (1 - recorded))
    return max(0.0, (recorded - wanted) / recorded)
