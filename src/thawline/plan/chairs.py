"""
Chairs in the observation area: how many are taken at once while people come at random.

However long each stays, the number there follows Poisson's law with mean people an hour times
the mean stay, as long as there is always a chair. This is the number at any one moment; the
highest of a whole day is more, and is left to the simulation. See docs/background/waiting.md.
"""

import math
import re
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import timedelta

from thawline.base.errors import RecordError

_STAY = re.compile(
    r"\s*(?P<minutes>\d+(?:\.\d+)?)\s*min\s+(?P<percent>\d+(?:\.\d+)?)\s*%\s*", re.ASCII
)
_WHOLE = 100.0
_EXACT = 1e-9
_MOST_THERE = 100_000.0  # a technical limit on the mean number of people there


@dataclass(frozen=True, slots=True)
class Stay:
    """How long some of the people stay, and their share of all."""

    lasts: timedelta
    share: float


@dataclass(frozen=True, slots=True)
class Chairs:
    """People there on average, and the chairs that are enough at a moment."""

    mean: float
    chairs: int


def read_stays(text: str) -> tuple[Stay, ...]:
    """
    Return the stays written as "15 min 95 %, 30 min 5 %".

    Raises:
        RecordError: A part is written otherwise, or the shares are not 100 % together.
    """
    stays = []
    for part in text.split(","):
        match = _STAY.fullmatch(part)
        if match is None:
            raise RecordError(f"not a stay: {part.strip()!r}", advice='as in "15 min 95 %"')
        minutes, percent = float(match["minutes"]), float(match["percent"])
        stays.append(Stay(timedelta(minutes=minutes), percent / _WHOLE))
    whole = sum(stay.share for stay in stays)
    if abs(whole - 1) > _EXACT:
        raise RecordError(
            f"the shares are {whole * _WHOLE:g} % together", advice="make them 100 %"
        )
    return tuple(stays)


def chairs_for(per_hour: float, stays: Sequence[Stay], cover: float) -> Chairs:
    """
    Return the least number of chairs that is enough at a moment with at least that chance.

    Raises:
        RecordError: People an hour or the cover cannot be, or too many would be there.
    """
    if not 0 < cover < 1:
        raise RecordError(f"a cover of {cover}", advice="above 0 and below 1, as in 0.99")
    hours = sum(stay.share * (stay.lasts / timedelta(hours=1)) for stay in stays)
    mean = per_hour * hours
    if not 0 < mean <= _MOST_THERE:
        raise RecordError(
            f"{per_hour:g} people an hour staying {hours:g} h", advice="write numbers above 0"
        )
    return Chairs(mean, _least_enough(mean, cover))


def _least_enough(mean: float, cover: float) -> int:
    """Return the quantile of Poisson's law, from sums of its terms."""
    log_mean = math.log(mean)
    count, enough = 0, math.exp(-mean)
    while enough < cover:
        count += 1
        enough += math.exp(count * log_mean - mean - math.lgamma(count + 1))
        if count > mean and enough >= 1 - _EXACT:
            break
    return count
