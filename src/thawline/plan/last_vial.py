"""
The last vial: wait, bring another one now, or ask people to come back? The best by odds.

In the last hours a vial is brought to the table for few people, and needs its time there
first. Waiting costs nothing while the doses in hand last and the vial would still be ready in
time, and by then more is known. The best choice in every state comes out at once, by a
finite-horizon dynamic programme. See docs/background/last-vial.md.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from enum import IntEnum

import numpy as np
from numpy.typing import NDArray

from thawline.plan.last_calls import Calls, best_calls
from thawline.plan.last_hours import LastHours
from thawline.plan.opening import Prices
from thawline.plan.opening_kernel import Numbers

Whole = NDArray[np.int64]
COST, WASTED, AWAY, HELD, SHORT = range(5)
OUTCOMES = 5
_NEARLY = 1e-9  # waiting is preferred where nothing is cheaper by more than this
SOONER = 0.05
"""The chance of having to act sooner that "wait until" leaves open; our own judgement."""


class Step(IntEnum):
    """What may be done at the start of a slot; calling names is the last thing done."""

    WAIT = 0
    BRING = 1
    CALL = 2
    BRING_AND_CALL = 3


@dataclass(frozen=True, slots=True)
class Expected:
    """What a choice leads to on average; `chance_short`: that somebody is asked back."""

    price: float
    doses_wasted: float
    people_asked_back: float
    slots_held: float
    chance_short: float


@dataclass(frozen=True, slots=True, eq=False)
class Rule:
    """
    What is done in every state: shape (slots, vials + 1, warm_slots + 1, balances).

    The state: vials brought so far, slots until the last of them is ready, doses in hand less
    people waiting (from `lowest` on). `names`: how many are called where a step calls.
    """

    steps: Whole
    names: Whole


@dataclass(frozen=True, slots=True, eq=False)
class Solved:
    """The best rule, and what each first choice leads to when all that follows is best."""

    hours: LastHours
    rule: Rule
    first: dict[Step, tuple[Expected, int]]
    bring_only: Expected | None
    nothing: Expected

    @property
    def best(self) -> Step:
        """Return the best choice now."""
        hours = self.hours
        return Step(int(self.rule.steps[0, 0, 0, _start(hours)]))

    def waits_until(self) -> tuple[int | None, float]:
        """
        Return the slot until which waiting is best, and the chance of having to act sooner.

        The last slot before which that chance stays within `SOONER`; None: to the close.
        """
        hours = self.hours
        chances = np.zeros(hours.balances)
        chances[_start(hours)] = 1.0
        sooner = 0.0
        for slot in range(hours.slots):
            acts = self.rule.steps[slot, 0, 0] != Step.WAIT
            acting = float(chances[acts].sum())
            if sooner + acting > SOONER:
                return slot, sooner
            sooner += acting
            chances = _passed(hours, slot, np.where(acts, 0.0, chances))
        return None, sooner

    def brings_from(self, slot: int) -> int | None:
        """Return the highest balance at which a vial is brought in a slot; None: at none."""
        steps = self.rule.steps[slot, 0, 0]
        brings = np.flatnonzero((steps == Step.BRING) | (steps == Step.BRING_AND_CALL))
        return int(brings[-1]) + self.hours.lowest if len(brings) else None


def solve(hours: LastHours, prices: Prices) -> Solved:
    """Return the best choice in every state, and the price of each choice now; exactly."""
    shape = (hours.slots, hours.vials + 1, hours.warm_slots + 1, hours.balances)
    steps, names = np.zeros(shape, dtype=np.int64), np.zeros(shape, dtype=np.int64)
    values = idle = _close(hours, prices)
    first: dict[Step, tuple[Numbers, Whole]] = {}
    for slot in range(hours.slots - 1, -1, -1):
        wait = _before(hours, slot, values, prices)
        idle_before = _before(hours, slot, idle, prices)
        calls = best_calls(hours, slot, prices)
        first = _choices(hours, slot, wait, calls, prices)
        costs = np.stack([first[step][0][..., COST] for step in Step])
        costs[1:] += _NEARLY
        steps[slot] = costs.argmin(axis=0)
        values = np.zeros_like(wait)
        for step in Step:
            chosen = steps[slot] == step
            values[chosen] = first[step][0][chosen]
            names[slot][chosen] = first[step][1][chosen]
        idle = idle_before
    at = (0, 0, _start(hours))
    only = _brought(hours, 0, idle)[at]
    return Solved(
        hours=hours,
        rule=Rule(steps, names),
        first={
            step: (_expected(told[at]), int(called[at]))
            for step, (told, called) in first.items()
            if np.isfinite(told[at][COST])
        },
        bring_only=_expected(only) if np.isfinite(only[COST]) else None,
        nothing=_expected(idle[at]),
    )


def _start(hours: LastHours) -> int:
    return hours.in_hand - hours.waiting - hours.lowest


def _expected(value: Numbers) -> Expected:
    return Expected(*(float(value[k]) for k in (COST, WASTED, AWAY, HELD, SHORT)))


def _balances(hours: LastHours) -> Whole:
    return np.arange(hours.balances) + hours.lowest


def _close(hours: LastHours, prices: Prices) -> Numbers:
    """Return the values at the close: what is left is wasted, who waits is asked back."""
    values = np.zeros((hours.vials + 1, hours.warm_slots + 1, hours.balances, OUTCOMES))
    balances = _balances(hours)
    values[..., WASTED] = np.maximum(balances, 0)
    values[:, 1:, :, WASTED] += hours.doses_per_vial
    values[..., AWAY] = np.maximum(-balances, 0)
    values[..., SHORT] = balances < 0
    values[..., COST] = (
        prices.dose_wasted * values[..., WASTED] + prices.person_asked_back * values[..., AWAY]
    )
    return values


def _before(hours: LastHours, slot: int, after: Numbers, prices: Prices) -> Numbers:
    """Return the values once a slot's choice was to wait, from those at the next slot."""
    chances = hours.arrivals[slot]
    most = len(chances) - 1
    ended = np.zeros((*after.shape[:2], hours.balances + most, OUTCOMES))
    for brought in range(hours.vials + 1):
        for left in range(hours.warm_slots + 1):
            ended[brought, left] = _slot_ends(hours, (slot, brought, left), most, after, prices)
    before = np.zeros_like(after)
    for come, chance in enumerate(chances):
        shifted = slice(most - come, most - come + hours.balances)
        before += chance * ended[:, :, shifted]
    return before


def _slot_ends(
    hours: LastHours, at: tuple[int, int, int], most: int, after: Numbers, prices: Prices
) -> Numbers:
    """Return the values for each balance after people came, down to `most` below the lowest."""
    slot, brought, left = at
    balances = np.arange(hours.balances + most) + hours.lowest - most
    away = np.maximum(hours.lowest - balances, 0)
    kept, spoilt = _kept(hours, slot, brought - (left > 0), balances + away)
    held = np.maximum(-kept, 0)
    later = kept + (hours.doses_per_vial if left == 1 else 0)
    top = hours.balances + hours.lowest - 1
    at_next = np.minimum(later, top) - hours.lowest
    found: Numbers = after[brought, max(left - 1, 0), at_next].copy()
    found[:, WASTED] += spoilt
    found[:, AWAY] += away
    found[:, HELD] += held
    found[:, COST] += (
        prices.dose_wasted * spoilt
        + prices.person_asked_back * away
        + prices.person_held * held
    )
    return found


def _kept(hours: LastHours, slot: int, ready: int, balances: Whole) -> tuple[Whole, Whole]:
    """Return the balances once a slot has passed, and the doses whose use-by passed in it."""
    limit = hours.keeps[slot + 1] + hours.doses_per_vial * ready
    return np.minimum(balances, limit), np.maximum(balances - limit, 0)


def _passed(hours: LastHours, slot: int, chances: Numbers) -> Numbers:
    """Return the chances of the balances a slot later, while no vial is brought."""
    after = np.zeros_like(chances)
    for come, chance in enumerate(hours.arrivals[slot]):
        balances = np.maximum(_balances(hours) - come, hours.lowest)
        kept, _ = _kept(hours, slot, 0, balances)
        np.add.at(after, kept - hours.lowest, chance * chances)
    return after


def _brought(hours: LastHours, slot: int, wait: Numbers) -> Numbers:
    """Return the values when a vial is brought as the slot starts; infinite: it cannot."""
    found = np.full_like(wait, np.inf)
    if slot + hours.warm_slots >= hours.slots or not hours.vials:
        return found
    later = np.arange(hours.balances)
    if hours.warm_slots == 0:
        later = np.minimum(later + hours.doses_per_vial, hours.balances - 1)
    found[:-1, 0] = wait[1:, hours.warm_slots][:, later]
    return found


def _choices(
    hours: LastHours, slot: int, wait: Numbers, calls: Calls, prices: Prices
) -> dict[Step, tuple[Numbers, Whole]]:
    """Return the values of each step in every state, and the names called."""
    nobody = np.zeros(wait.shape[:3], dtype=np.int64)
    brought = _brought(hours, slot, wait)
    call, names = _called(hours, slot, calls, prices, fresh=0)
    both, both_names = _called(hours, slot, calls, prices, fresh=hours.doses_per_vial)
    both[~np.isfinite(brought[..., COST])] = np.inf
    return {
        Step.WAIT: (wait, nobody),
        Step.BRING: (brought, nobody),
        Step.CALL: (call, names),
        Step.BRING_AND_CALL: (both, both_names),
    }


def _called(
    hours: LastHours, slot: int, calls: Calls, prices: Prices, *, fresh: int
) -> tuple[Numbers, Whole]:
    """Return the values when the best number of names is called, with so many doses more."""
    shape = (hours.vials + 1, hours.warm_slots + 1, hours.balances)
    held = _held_until(hours, slot)
    found = np.zeros((*shape, OUTCOMES))
    names = np.zeros(shape, dtype=np.int64)
    for brought in range(hours.vials + 1):
        for left in range(hours.warm_slots + 1):
            ready = brought - (left > 0)
            coming = fresh + (hours.doses_per_vial if left else 0)
            limit = hours.keeps[-1] + hours.doses_per_vial * ready
            spoilt = np.maximum(_balances(hours) - limit, 0)
            doses = _balances(hours) - spoilt + coming
            slots_held = held[hours.warm_slots if fresh else left]
            told = calls.values[doses - hours.lowest]
            told[:, WASTED] += spoilt
            told[:, HELD] += slots_held
            told[:, COST] += prices.dose_wasted * spoilt + prices.person_held * slots_held
            found[brought, left] = told
            names[brought, left] = calls.names[doses - hours.lowest]
    return found, names


def _held_until(hours: LastHours, slot: int) -> Numbers:
    """Return the slots that people wait, by slots until a vial is ready and by balance."""
    found = np.zeros((hours.warm_slots + 1, hours.balances))
    come = np.ones(1)
    for left in range(1, hours.warm_slots + 1):
        if slot + left <= hours.slots:
            come = np.convolve(come, hours.arrivals[slot + left - 1])
        short = np.maximum(np.arange(len(come))[None, :] - _balances(hours)[:, None], 0)
        found[left] = found[left - 1] + short @ come
    return found


def quantile_days(hours: LastHours, days: int) -> Sequence[int]:
    """Return so many equally likely numbers of people still to come, the fewest first."""
    reached = np.cumsum(hours.to_come())
    middles = (np.arange(days) + 1 / 2) / days
    return [int(each) for each in np.searchsorted(reached, middles)]
