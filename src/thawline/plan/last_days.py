"""
Days of the last hours, played one by one by a rule: what was wasted, who was asked back.

A day is drawn, then the rule says in each slot what is done; nothing of the recursion that
found the rule is used, so the two check each other. All days are played side by side.
"""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from thawline.plan.last_hours import LastHours
from thawline.plan.last_vial import Rule, Step
from thawline.plan.opening import Prices
from thawline.plan.opening_kernel import Numbers

Whole = NDArray[np.int64]


@dataclass(frozen=True, slots=True, eq=False)
class Played:
    """What each day came to: doses wasted, people asked back, slots waited, names called."""

    wasted: Whole
    away: Whole
    held: Whole
    called: Whole

    def price(self, prices: Prices) -> Numbers:
        """Return the price of each day, in doses."""
        price: Numbers = prices.dose_wasted * self.wasted.astype(np.float64)
        price += prices.person_asked_back * self.away
        price += prices.person_held * self.held
        return price


@dataclass(frozen=True, slots=True, eq=False)
class Drawn:
    """Days drawn by chance: who comes in each slot (days, slots), and a luck for each name."""

    come: Whole
    luck: Numbers


def drawn(hours: LastHours, days: int, chance: np.random.Generator) -> Drawn:
    """Return days by the chances; every rule is played on the same ones."""
    come = [
        np.searchsorted(np.cumsum(row), chance.random(days), side="right").clip(0, len(row) - 1)
        for row in hours.arrivals
    ]
    return Drawn(np.stack(come, axis=1), chance.random((days, max(1, len(hours.travel)))))


def played(hours: LastHours, rule: Rule, days: Drawn, takes: float) -> Played:
    """Return what the days came to by the rule."""
    count = len(days.come)
    balance = np.full(count, hours.in_hand - hours.waiting)
    brought, left = np.zeros(count, dtype=np.int64), np.zeros(count, dtype=np.int64)
    wasted, away, held, called = (np.zeros(count, dtype=np.int64) for _ in range(4))
    done = np.zeros(count, dtype=bool)
    takers = np.zeros(count, dtype=np.int64)
    for slot in range(hours.slots):
        at = (slot, brought, left, balance - hours.lowest)
        step = np.where(done, int(Step.WAIT), rule.steps[at])
        calls = (step == Step.CALL) | (step == Step.BRING_AND_CALL)
        names = rule.names[at]
        luck = days.luck < takes
        coming = np.cumsum(luck, axis=1)[np.arange(count), np.maximum(names - 1, 0)]
        takers = np.where(calls, coming, takers)
        called = np.where(calls, names, called)
        done |= calls
        brings = (step == Step.BRING) | (step == Step.BRING_AND_CALL)
        brought = brought + brings
        if hours.warm_slots:
            left = np.where(brings, hours.warm_slots, left)
        else:
            balance = balance + hours.doses_per_vial * brings
        balance = balance - days.come[:, slot]
        too_many = np.maximum(hours.lowest - balance, 0)
        away, balance = away + too_many, balance + too_many
        limit = hours.keeps[slot + 1] + hours.doses_per_vial * (brought - (left > 0))
        spoilt = np.maximum(balance - limit, 0)
        wasted, balance = wasted + spoilt, balance - spoilt
        held = held + np.maximum(-balance, 0) * (~done | (left > 0))
        balance = balance + hours.doses_per_vial * (left == 1)
        left = np.maximum(left - 1, 0)
    balance = balance - takers
    wasted = wasted + np.maximum(balance, 0) + hours.doses_per_vial * (left > 0)
    return Played(wasted, away + np.maximum(-balance, 0), held, called)


def always(hours: LastHours, *, first: Step, when_asked: bool = False, names: int = 0) -> Rule:
    """
    Return a plain rule.

    Args:
        hours: The hours it is for.
        first: What is done at once, whatever the state.
        when_asked: Bring another whenever somebody waits and none is on the way.
        names: How many are called at once, where the first step calls.
    """
    shape = (hours.slots, hours.vials + 1, hours.warm_slots + 1, hours.balances)
    steps = np.zeros(shape, dtype=np.int64)
    can = hours.slots - hours.warm_slots
    if when_asked and hours.vials:
        waiting = np.arange(hours.balances) + hours.lowest < 0
        steps[:can, :-1, 0, waiting] = Step.BRING
    if first is not Step.WAIT:
        steps[0, 0, 0, :] = first
    return Rule(steps, np.full(shape, names, dtype=np.int64))
