"""
Open another vial now, let people wait a little, or ask them to come back? The best by odds.

One shared draw table serves people from the open vial; vials are filled as people ask. When
so many remain that do not fill a vial, there is a choice, in each slot of the day: open one
for them, hold them (for a bounded time), or ask them to come back. At the end of a vial's
life and of the day, names of the standby list are called for what is left.
The whole table of choices comes out at once, by a finite-horizon dynamic programme. See
docs/background/opening.md.
"""

from dataclasses import dataclass

import numpy as np
from scipy.stats import binom, nbinom

from thawline.base.errors import RecordError
from thawline.plan.opening_kernel import (
    AWAY,
    COME_BACK,
    COST,
    HELD,
    HOLD,
    OPEN,
    OPENED,
    WASTED,
    Choices,
    Numbers,
    backwards,
)

_WHOLE = 1e-9
_NEVER = 1e15  # a price at which nobody is held or asked to come back
WORDS = {OPEN: "open", HOLD: "wait", COME_BACK: "come back"}


@dataclass(frozen=True, slots=True)
class Prices:
    """
    What each costs, in doses: the site lead's own judgement, shown beside every answer.

    A person held is priced for each slot of waiting.
    """

    dose_wasted: float
    person_asked_back: float
    person_held: float

    def __post_init__(self) -> None:
        for price in (self.dose_wasted, self.person_asked_back, self.person_held):
            if not 0 <= price < float("inf"):
                raise RecordError(f"a price of {price}", advice="0 or more, in doses")


@dataclass(frozen=True, slots=True, eq=False)
class OpeningDay:
    """
    What is known before the slots that are left.

    Args:
        arrivals: shape (slots, most + 1), the chance that so many come in each slot.
        doses_per_vial: In a full vial.
        life_slots: Slots that an opened vial may be used, the first one counted.
        hold_most: Slots that somebody may be asked to wait.
        standby: Names on the standby list.
        takes: The chance that a name called comes in time.
    """

    arrivals: Numbers
    doses_per_vial: int
    life_slots: int
    hold_most: int = 0
    standby: int = 0
    takes: float = 0.0

    def __post_init__(self) -> None:
        if self.arrivals.ndim != 2 or not len(self.arrivals):  # noqa: PLR2004  slots by counts
            raise RecordError("no slots are left", advice="plan while there is time")
        sums = self.arrivals.sum(axis=1)
        if np.any(self.arrivals < 0) or np.any(np.abs(sums - 1) > _WHOLE):
            raise RecordError(
                f"slot {int(np.argmax(np.abs(sums - 1)))}: the chances are not 1 in all",
                advice="give the chance of each number of people",
            )
        for name, value, least in (
            ("doses per vial", self.doses_per_vial, 1),
            ("life in slots", self.life_slots, 1),
            ("longest wait in slots", self.hold_most, 0),
            ("standby names", self.standby, 0),
        ):
            if value < least:
                raise RecordError(f"{name}: {value}", advice=f"{least} or more")
        if not 0 <= self.takes <= 1:
            raise RecordError(f"a chance of {self.takes}", advice="from 0 to 1")


@dataclass(frozen=True, slots=True)
class Outlook:
    """What is to be expected: on average over days like this one."""

    cost: float
    doses_wasted: float
    people_asked_back: float
    slots_held: float
    vials_opened: float


@dataclass(frozen=True, slots=True, eq=False)
class Policy:
    """
    The best choices, what they lead to, and what opening whenever somebody asks leads to.

    `choices`: shape (slots, standby + 1, hold_most + 1, doses_per_vial): open, hold or come
    back, for that many people without a dose whose oldest has been held for so long.
    """

    choices: Choices
    best: Outlook
    open_when_asked: Outlook

    @property
    def is_open_when_asked(self) -> bool:
        """Say whether nothing beats opening whenever somebody asks."""
        return self.best.cost >= self.open_when_asked.cost - _WHOLE

    def opens_from(self, slot: int, standby: int) -> int | None:
        """Return how few fresh people a vial is opened for in a slot; None: only a full one."""
        row = self.choices[slot, standby, 0]
        opens = [e for e in range(1, len(row)) if row[e] == OPEN]
        return opens[0] if opens else None


def policy(day: OpeningDay, prices: Prices) -> Policy:
    """Return the best choices for the slots that are left, exactly."""
    ends, spoilt = _calls(day)
    arrivals = np.ascontiguousarray(day.arrivals, dtype=np.float64)

    def solved(person: float, wait: float) -> tuple[Outlook, Choices]:
        figures = np.array([prices.dose_wasted, person, wait], np.float64)
        values, choices = backwards(
            arrivals, day.doses_per_vial, day.life_slots, day.hold_most, ends, spoilt, figures
        )
        return _outlook(values[day.standby, 0, 0]), choices

    best, choices = solved(prices.person_asked_back, prices.person_held)
    asked, _ = solved(_NEVER, _NEVER)
    return Policy(choices, best, asked)


def _outlook(value: Numbers) -> Outlook:
    return Outlook(
        cost=float(value[COST]),
        doses_wasted=float(value[WASTED]),
        people_asked_back=float(value[AWAY]),
        slots_held=float(value[HELD]),
        vials_opened=float(value[OPENED]),
    )


def _calls(day: OpeningDay) -> tuple[Numbers, Numbers]:
    """
    Return what calling names one after the other leaves, for every number of names and doses.

    The first: the chance of so many names left. The second: doses still wasted, on average.
    """
    names, most = day.standby, day.doses_per_vial
    ends = np.zeros((names + 1, most, names + 1))
    spoilt = np.zeros((names + 1, most))
    for s in range(names + 1):
        ends[s, 0, s] = 1.0
        for left in range(1, most):
            called = np.arange(left, s + 1)
            if len(called):
                ends[s, left, s - called] = nbinom.pmf(called - left, left, day.takes)
            ends[s, left, 0] += 1.0 - ends[s, left].sum()
            takers = np.arange(s + 1)
            spoilt[s, left] = np.maximum(left - takers, 0) @ binom.pmf(takers, s, day.takes)
    return ends, spoilt
