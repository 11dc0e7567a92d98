"""
The backward recursion of the opening problem: numbers in, numbers out, compiled or plain.

A state is either doses left in an open vial (then nobody waits) or people waiting (then no
vial has doses left). Its value is a vector: cost, doses wasted, people asked to come back,
person-slots held, vials opened. What the problem is stands in `plan.opening`.
"""

import numpy as np
from numpy.typing import NDArray

from thawline.base.compiled import NONE_YET, compiled

Numbers = NDArray[np.float64]
Choices = NDArray[np.int8]

OPEN, HOLD, COME_BACK = 0, 1, 2
COST, WASTED, AWAY, HELD, OPENED = range(5)
OUTCOMES = 5


@compiled
def backwards(
    arrivals: Numbers,
    per_vial: int,
    life: int,
    hold_most: int,
    ends: Numbers,
    spoilt: Numbers,
    prices: Numbers,
) -> tuple[Numbers, Choices]:
    """
    Return the value of each state before the first slot, and the choice in every slot.

    Args:
        arrivals: shape (slots, most + 1), the chance that so many come.
        per_vial: Doses in a vial.
        life: Slots that an opened vial may be used, its first one counted.
        hold_most: Slots that somebody may be held.
        ends: shape (names + 1, per_vial, names + 1), names left after a vial ended.
        spoilt: shape (names + 1, per_vial), doses wasted then, on average.
        prices: Of a dose wasted, a person asked to come back, a person held for a slot.

    Returns:
        Values of shape (names + 1, hold_most + 1, per_vial, 5) before the first slot, by people
        waiting and how long the oldest has been; choices of shape
        (slots, names + 1, hold_most + 1, per_vial), by people without a dose.
    """
    slots, lists = arrivals.shape[0], ends.shape[0]
    people = np.zeros((lists, hold_most + 1, per_vial, OUTCOMES))
    doses = np.zeros((lists, per_vial, life + 1, OUTCOMES))
    ended = np.zeros((lists, per_vial, OUTCOMES))
    best = np.zeros((lists, hold_most + 1, per_vial, OUTCOMES))
    choices = np.zeros((slots, lists, hold_most + 1, per_vial), dtype=np.int8)
    _close(people, doses, spoilt, prices)
    for slot in range(slots - 1, -1, -1):
        last = slot == slots - 1
        _vial_ends(people, ends, spoilt, prices[0], ended)
        for s in range(lists):
            for held in range(hold_most + 1):
                may_hold = held < hold_most and not last
                for e in range(1, per_vial):
                    left = per_vial - e
                    fresh = doses[s, left, life - 1] if life > 1 or last else ended[s, left]
                    wait = people[s, held + 1, e] if may_hold else people[s, held, e]
                    choices[slot, s, held, e] = _choose(
                        fresh, wait, people[s, 0, 0], prices, e, may_hold, best[s, held, e]
                    )
        people, doses = _one_slot(people, doses, ended, best, arrivals[slot])
    return people, choices


@compiled
def _close(people: Numbers, doses: Numbers, spoilt: Numbers, prices: Numbers) -> None:
    """Write the values at the close: who still waits comes back, what is left is offered."""
    for s in range(people.shape[0]):
        for count in range(people.shape[2]):
            for held in range(people.shape[1]):
                people[s, held, count, COST] = prices[1] * count
                people[s, held, count, AWAY] = count
            for a in range(doses.shape[2]):
                doses[s, count, a, COST] = prices[0] * spoilt[s, count]
                doses[s, count, a, WASTED] = spoilt[s, count]


@compiled
def _vial_ends(
    people: Numbers, ends: Numbers, spoilt: Numbers, price: float, ended: Numbers
) -> None:
    """Write the value once a vial's life is over: names are called, the rest is wasted."""
    for s in range(ended.shape[0]):
        for left in range(ended.shape[1]):
            for k in range(OUTCOMES):
                total = 0.0
                for fewer in range(s + 1):
                    total += ends[s, left, fewer] * people[fewer, 0, 0, k]
                ended[s, left, k] = total
            ended[s, left, COST] += price * spoilt[s, left]
            ended[s, left, WASTED] += spoilt[s, left]


@compiled
def _choose(
    fresh: Numbers,
    wait: Numbers,
    without: Numbers,
    prices: Numbers,
    e: int,
    may_hold: bool,
    into: Numbers,
) -> int:
    """Write the value of the best choice for e people without a dose; return the choice."""
    choice, source, price = OPEN, fresh, 0.0
    if may_hold and wait[COST] + prices[2] * e < source[COST]:
        choice, source, price = HOLD, wait, prices[2] * e
    if without[COST] + prices[1] * e < source[COST] + price:
        choice, source, price = COME_BACK, without, prices[1] * e
    for k in range(OUTCOMES):
        into[k] = source[k]
    into[COST] += price
    into[OPENED] += choice == OPEN
    into[HELD] += e * (choice == HOLD)
    into[AWAY] += e * (choice == COME_BACK)
    return choice


@compiled
def _one_slot(
    people: Numbers, doses: Numbers, ended: Numbers, best: Numbers, chances: Numbers
) -> tuple[Numbers, Numbers]:
    """Return the values before a slot from those after it."""
    people_before, doses_before = np.zeros(people.shape), np.zeros(doses.shape)
    for come in range(len(chances)):
        if chances[come] > 0.0:
            for s in range(people.shape[0]):
                _add_to_people(people, best, s, come, chances[come], people_before)
                _add_to_doses(people, doses, ended, best, s, come, chances[come], doses_before)
    return people_before, doses_before


@compiled
def _add_to_people(
    people: Numbers, best: Numbers, s: int, come: int, chance: float, before: Numbers
) -> None:
    """Add what follows where people wait and more come."""
    for held in range(people.shape[1]):
        for waiting in range(people.shape[2]):
            oldest = held if waiting > 0 else 0
            into = before[s, held, waiting]
            _add_served(people, best, s, oldest, waiting + come, chance, into)


@compiled
def _add_to_doses(
    people: Numbers,
    doses: Numbers,
    ended: Numbers,
    best: Numbers,
    s: int,
    come: int,
    chance: float,
    before: Numbers,
) -> None:
    """Add what follows where a vial is open and people come."""
    for left in range(1, doses.shape[1]):
        rest = left - come
        for a in range(1, doses.shape[2]):
            into = before[s, left, a]
            if rest <= 0:
                _add_served(people, best, s, NONE_YET, -rest, chance, into)
            else:
                source = doses[s, rest, a - 1] if a > 1 else ended[s, rest]
                for k in range(OUTCOMES):
                    into[k] += chance * source[k]


@compiled
def _add_served(
    people: Numbers, best: Numbers, s: int, held: int, ask: int, chance: float, into: Numbers
) -> None:
    """Add the value when so many ask: whole vials are opened, then there is a choice."""
    per_vial = people.shape[2]
    whole, e = ask // per_vial, ask % per_vial
    oldest = held if whole == 0 else 0
    for k in range(OUTCOMES):
        into[k] += chance * (people[s, 0, 0, k] if e == 0 else best[s, oldest, e, k])
    into[OPENED] += chance * whole
