"""
How long a turn takes at a station, from the site's own records, and how sure that is.

The time from the end of one turn to the end of the next at one chair is a service time only
where somebody is known to have stood in line all the while; otherwise the chair may have been
idle, and the time says nothing. The seconds that a screen is meant to take never come in.
See docs/background/replay.md.
"""

import math
from bisect import bisect_left
from collections import defaultdict
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from datetime import timedelta
from itertools import pairwise
from statistics import median

import numpy as np
from scipy.special import stdtrit

from thawline.base.compiled import Values
from thawline.base.instants import Instant

LEAST_TURNS = 30
"""Fewer say too little; as many as the shipped example asks a site to time by hand."""
LEAST_DAYS = 5
"""From so many days on the days are held against each other; our own judgement."""
LONG_TURN = 4
"""A turn this many times the median is no turn but a break; our own judgement."""
LEVEL = 0.95  # the usual level; by convention, shown beside every interval


@dataclass(frozen=True, slots=True)
class Turn:
    """
    One person at a chair or table.

    `began`: the first stamp there. `ended`: the dose, or leaving without one; None: not
    stamped. `here_since`: from when the person is known to have stood in line; None: not known.
    """

    server: str
    began: Instant
    ended: Instant | None
    here_since: Instant | None


@dataclass(frozen=True, slots=True)
class Timed:
    """
    The service times of one day, and what was left out.

    `idle`: turns before which nobody is known to have stood in line. `breaks`: those too long
    to be one turn.
    """

    turns_s: tuple[float, ...]
    idle: int
    breaks: int


@dataclass(frozen=True, slots=True)
class Interval:
    """An estimate, and the range in which the true value lies on 95 of 100 such records."""

    value: float
    low: float
    high: float


@dataclass(frozen=True, slots=True)
class ServiceTimes:
    """
    How long turns take.

    `varies`: standard deviation divided by the mean. `over_days`: whether the interval knows
    how days differ; otherwise only how turns do.
    """

    turns: int
    days: int
    mean_s: Interval
    varies: Interval
    over_days: bool


class Line:
    """Who stood in line when, from the turns of one day in the order in which they began."""

    def __init__(self, turns: Iterable[Turn]) -> None:
        self.turns = sorted(turns, key=lambda turn: turn.began)
        self._began = [turn.began for turn in self.turns]
        self._earliest: list[Instant | None] = [None]
        for turn in reversed(self.turns):
            known = [at for at in (self._earliest[-1], turn.here_since) if at is not None]
            self._earliest.append(min(known, default=None))
        self._earliest.reverse()

    def someone(self, since: Instant, until: Instant) -> bool:
        """Say whether somebody is known to have stood in line from one instant to another."""
        earliest = self._earliest[bisect_left(self._began, until)]
        return earliest is not None and earliest <= since

    def stood(
        self, after: Instant | None, until: Instant | None, longer_than: timedelta
    ) -> bool:
        """
        Say whether somebody stood in line for longer than that between two instants.

        None as a limit: from the first person, or to the last.
        """
        for turn in self.turns:
            if turn.here_since is not None:
                since = turn.here_since if after is None else max(turn.here_since, after)
                ends = turn.began if until is None else min(turn.began, until)
                if ends - since > longer_than:
                    return True
        return False

    def by_server(self) -> dict[str, list[Turn]]:
        """Return the turns of each server, in order."""
        found: dict[str, list[Turn]] = defaultdict(list)
        for turn in self.turns:
            found[turn.server].append(turn)
        return found


def timed(line: Line) -> Timed:
    """Return the service times of one day."""
    in_line: list[float] = []
    idle = 0
    for before, turn in _one_after_the_other(line):
        if line.someone(before, turn.began):
            assert turn.ended is not None  # noqa: S101  as the pairs are chosen
            in_line.append((turn.ended - before).total_seconds())
        else:
            idle += 1
    longest = LONG_TURN * median(in_line) if in_line else math.inf
    turns = tuple(each for each in in_line if each <= longest)
    return Timed(turns, idle, len(in_line) - len(turns))


def _one_after_the_other(line: Line) -> Iterator[tuple[Instant, Turn]]:
    """Yield each turn whose end is stamped, with the end of the one before at that server."""
    for turns in line.by_server().values():
        for one, other in pairwise(turns):
            if one.ended is not None and other.ended is not None and one.ended <= other.began:
                yield one.ended, other


def service_times(days: Sequence[Sequence[float]]) -> ServiceTimes | None:
    """
    Return mean and spread of the service times of so many days; None: too few to say.

    Args:
        days: The turns of each day, in seconds.

    Source:
        The delete-one jackknife: Efron and Stein, "The jackknife estimate of variance", Annals
        of Statistics 9, 1981, with Student's t (from memory); held by SciPy's bootstrap.
    """
    some = [np.asarray(day, np.float64) for day in days if len(day)]
    turns = sum(len(day) for day in some)
    if turns < LEAST_TURNS:
        return None
    over_days = len(some) >= LEAST_DAYS
    groups = some if over_days else list(np.concatenate(some)[:, np.newaxis])
    sums = np.array([[len(day), day.sum(), (day**2).sum()] for day in groups])
    mean, varies = _jackknifed(sums)
    return ServiceTimes(turns, len(some), mean, varies, over_days)


def _jackknifed(sums: Values) -> tuple[Interval, Interval]:
    """Return mean and spread, each with its interval, from the sums of each group."""
    groups = len(sums)
    whole, without = _moments(sums.sum(axis=0)), _moments((sums.sum(axis=0) - sums).T)
    sure = errors_to_each_side(groups)
    found = []
    for value, left_out in zip(whole, without, strict=True):
        off = left_out - left_out.mean()
        error = math.sqrt((groups - 1) / groups * float((off**2).sum()))
        middle = float(value)
        low = max(middle - sure * error, 0.0)  # neither can be below
        found.append(Interval(middle, low, middle + sure * error))
    return found[0], found[1]


def errors_to_each_side(groups: int) -> float:
    """Return how many standard errors an interval goes to each side: Student's t."""
    return float(stdtrit(groups - 1, (1 + LEVEL) / 2))


def _moments(sums: Values) -> tuple[Values, Values]:
    """Return mean, and standard deviation divided by it, from count, sum and squares."""
    count, total, squares = sums
    mean = total / count
    variance = (squares - total * mean) / (count - 1)
    return mean, np.sqrt(np.maximum(variance, 0)) / mean
