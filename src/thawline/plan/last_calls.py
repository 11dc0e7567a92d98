"""
Calling names of the standby list for doses that would be left over: how many, and how it ends.

Each name called comes in time or not, by themselves. Somebody who was called and came is never
sent away lightly: for want of a dose they count as asked to come back, like everybody else.
"""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray
from scipy.stats import binom

from thawline.plan.last_hours import LastHours
from thawline.plan.opening import Prices
from thawline.plan.opening_kernel import Numbers


@dataclass(frozen=True, slots=True, eq=False)
class Calls:
    """
    By doses less people waiting, from the lowest on: how it ends, and how many are called.

    `values`: shape (balances, 5): price, doses wasted, people asked back, slots held, chance
    that somebody is. Infinite where nobody can be called any more.
    """

    values: Numbers
    names: NDArray[np.int64]


def in_reach(hours: LastHours, slot: int) -> int:
    """Return how many names can be here before the close when called at a slot."""
    return sum(slot + each < hours.slots for each in hours.travel)


def best_calls(hours: LastHours, slot: int, prices: Prices) -> Calls:
    """Return the number of names that is cheapest to call at a slot, at least one."""
    doses = np.arange(hours.balances + hours.doses_per_vial) + hours.lowest
    found = np.full((len(doses), 5), np.inf)
    names = np.zeros(len(doses), dtype=np.int64)
    to_come = hours.to_come(slot)
    for called in range(1, in_reach(hours, slot) + 1):
        takers = binom.pmf(np.arange(called + 1), called, hours.takes)
        ends = _ends(doses, np.convolve(to_come, takers), prices)
        cheaper = ends[:, 0] < found[:, 0]
        found[cheaper] = ends[cheaper]
        names[cheaper] = called
    return Calls(found, names)


def _ends(doses: NDArray[np.int64], people: Numbers, prices: Prices) -> Numbers:
    """Return how it ends for each number of doses when so many people come, by chance."""
    left = doses[:, None] - np.arange(len(people))[None, :]
    wasted = np.maximum(left, 0) @ people
    away = np.maximum(-left, 0) @ people
    short = (left < 0) @ people
    price = prices.dose_wasted * wasted + prices.person_asked_back * away
    return np.stack([price, wasted, away, np.zeros(len(doses)), short], axis=1)
