"""
How many of the people booked will come: the exact distribution, one person at a time.

Each person comes or does not, with a chance of their own and apart from everybody else; the
number who come then follows the Poisson-binomial distribution. It is built by adding one
person after the other, in sums of numbers above zero, so that small tails keep their digits.
See docs/background/thaw-plan.md.
"""

from collections.abc import Iterable

import numpy as np
from numpy.typing import NDArray

Distribution = NDArray[np.float64]
"""Shape (most + 1,): the chance that exactly so many people come, by index."""


def nobody() -> Distribution:
    """Return the distribution of the number of people when nobody is booked."""
    return np.ones(1)


def joined(people: Distribution, chances: Iterable[float]) -> Distribution:
    """Return the distribution with one more person for each chance of coming (0 to 1)."""
    for chance in chances:
        more = np.zeros(people.size + 1)
        more[:-1] = people * (1 - chance)
        more[1:] += people * chance
        people = more
    return people


def expected_people(people: Distribution) -> float:
    """Return the mean number of people who come."""
    return float(people @ np.arange(people.size))


def chance_above(people: Distribution, count: int) -> float:
    """Return the chance that more than so many people come."""
    return float(people[max(0, count + 1) :].sum())


def least_enough(people: Distribution, service: float) -> int:
    """
    Return the least number that is enough for all who come, with at least this chance.

    Args:
        people: Who may come.
        service: The chance asked for, 0 up to but not including 1.
    """
    so_many_or_more = people[::-1].cumsum()[::-1]
    above = np.append(so_many_or_more[1:], 0.0)
    return int(np.argmax(above <= 1 - service))


def expected_turned_away(people: Distribution, doses: int) -> float:
    """Return the mean number of people for whom so many doses are not enough."""
    return float(people @ np.maximum(np.arange(people.size) - doses, 0))


def expected_left_over(people: Distribution, doses: int) -> float:
    """Return the mean number of doses that remain when everybody who came had one."""
    return float(people @ np.maximum(doses - np.arange(people.size), 0))
