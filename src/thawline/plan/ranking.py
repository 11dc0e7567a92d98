"""
The staffing with the fewest people that keeps a promise, of thousands, and how sure that is.

All staffings are played on the same days. Those that break the promise are left out, and those
with more people than one that keeps it; of as many people the one with the fewest late is
chosen on further days, by paired differences. See docs/background/ranking.md.
"""

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from thawline.base.compiled import Values
from thawline.base.errors import RecordError
from thawline.plan.same_days import Late
from thawline.plan.selection import (
    Marks,
    Sure,
    checked,
    left_in,
    nothing_known,
    spreads_of_differences,
    triangle,
    widening,
)

DAYS_EACH = 5  # days in an observation: a mean of several is nearer to the normal law
_LOOKS = 20  # looks while observations double, about; fewer looks only err less often
_FEW = 1.0  # as for staffing: where fewer come on average the promise is not looked at

Numbers = NDArray[np.int64]
PlaySome = Callable[[Sequence[int], int, int], Late]
"""Plays staffings by their numbers, from a day on, so many days: always the same days."""


@dataclass(frozen=True, slots=True)
class Ranked:
    """
    What is known of the staffings so far; the last one of a run is the answer.

    Args:
        best: Number of the staffing selected; None: none is known to keep the promise.
        people: How many that one has; None as above.
        rivals: Staffings with as many people that keep the promise too, and it.
        broken: How many staffings are known to break the promise.
        undecided: How many are still open, with no more people than the best.
        days: On so many days the promise was looked at.
        more_days: On so many others those with as many people were compared.
        late_share: The share of people who wait longer with the best, over those days.
        error: Its standard error.
        final: Whether everything is decided.
    """

    best: int | None
    people: int | None
    rivals: int
    broken: int
    undecided: int
    days: int
    more_days: int
    late_share: float | None
    error: float | None
    final: bool


def ranked(
    people: Sequence[int], share: float, sure: Sure, play: PlaySome, most_days: int
) -> Iterator[Ranked]:
    """
    Yield what is known, observation by observation; the last one is the answer.

    Where the days do not do, the last one is not final, and says what is open.

    Args:
        people: How many each staffing has.
        share: Of people that are to wait less than promised, in every half hour.
        sure: Half of the error may be made about the promise, half about the best.
        play: Plays them.
        most_days: Days at the most, for the promise and again for the best.
    """
    if not people:
        raise RecordError("there is no staffing to rank", advice="give at least one")
    if most_days < sure.first * DAYS_EACH:
        raise RecordError(
            f"{most_days} days at the most", advice=f"{sure.first * DAYS_EACH} or more"
        )
    crowd = np.asarray(people, np.int64)
    here: _Promise | None = None
    for here in _promises(crowd, share, sure, play, most_days):
        yield here.ranked(final=False)
    assert here is not None  # noqa: S101  there is at least one observation
    rivals = here.rivals
    if here.undecided or len(rivals) == 0:
        yield here.ranked(final=not here.undecided)
        return
    yield from _best(here, sure, play, most_days)


@dataclass(frozen=True, slots=True, eq=False)
class _Promise:
    """What is known about the promise, and the sizes by which shares are meant."""

    crowd: Numbers
    keeps: Marks
    open: Marks
    broken: int
    days: int
    come: float

    @property
    def fewest(self) -> int | None:
        """Return the people of the smallest staffing that keeps the promise."""
        return int(self.crowd[self.keeps].min()) if self.keeps.any() else None

    @property
    def rivals(self) -> list[int]:
        """Return the staffings with so many people that keep it."""
        fewest = self.fewest
        if fewest is None:
            return []
        return np.flatnonzero(self.keeps & (self.crowd == fewest)).tolist()

    @property
    def undecided(self) -> int:
        """Return how many are open that matter still."""
        return int(self.open.sum())

    def ranked(self, *, final: bool) -> Ranked:
        """Return it as an answer without figures of its own."""
        rivals = self.rivals
        best = rivals[0] if rivals else None
        return Ranked(
            best, self.fewest, len(rivals), self.broken, self.undecided, self.days, 0,
            None, None, final,
        )  # fmt: skip


def _promises(
    crowd: Numbers, share: float, sure: Sure, play: PlaySome, most_days: int
) -> Iterator[_Promise]:
    """Yield what is known about the promise until nothing that matters is open."""
    days = sure.first * DAYS_EACH
    numbers = np.arange(len(crowd))
    begun = play(numbers.tolist(), 0, days)
    mean = begun.came.mean(axis=0)
    some = mean >= _FEW
    if not some.any():
        raise RecordError("hardly anybody comes", advice="a promise needs people")
    come = float(mean.sum())

    def above(late: Late) -> Values:
        over = _observed(late.late) - (1 - share) * _observed(late.came[None])
        found: Values = over[:, :, some] / mean[some]
        return found

    seen = above(begun)
    sums, spread = seen.sum(axis=1), seen.var(axis=1, ddof=1)
    wide = widening((1 - sure.share) / 2 / spread.size, sure.first)
    known = nothing_known(*spread.shape)
    count = sure.first
    while True:
        known = checked(known, sums, triangle(spread, sure.close, wide, count))
        fewest = crowd[known.keeps].min(initial=crowd.max())
        matters = known.open & (crowd <= fewest)
        yield _Promise(crowd, known.keeps, matters, int(known.broken.sum()), days, come)
        more = _more(count, days, most_days)
        if not matters.any() or not more:
            return
        left = np.flatnonzero(matters)
        sums[left] += above(play(left.tolist(), days, more * DAYS_EACH)).sum(axis=1)
        days += more * DAYS_EACH
        count += more


def _best(here: _Promise, sure: Sure, play: PlaySome, most_days: int) -> Iterator[Ranked]:
    """Yield which of the rivals has the fewest late, on days after those of the promise."""
    left, begin = np.array(here.rivals), here.days
    days = sure.first * DAYS_EACH

    def late(numbers: Numbers, first: int, many: int) -> Values:
        found = play(numbers.tolist(), begin + first, many)
        return _observed(found.late.sum(axis=2, keepdims=True) / here.come)[:, :, 0]

    seen = late(left, 0, days)
    spread = spreads_of_differences(seen)
    rivals = max(len(left) - 1, 1)
    wide = widening((1 - sure.share) / 2 / rivals, sure.first)
    while True:
        sums = seen.sum(axis=1)
        stay = left_in(sums, triangle(spread, sure.close, wide, seen.shape[1]))
        left, seen, spread = left[stay], seen[stay], spread[np.ix_(stay, stay)]
        place = int(seen.sum(axis=1).argmin())
        final = len(left) == 1
        yield Ranked(
            int(left[place]), here.fewest, len(here.rivals), here.broken, 0, here.days, days,
            float(seen[place].mean()), float(seen[place].std(ddof=1) / seen.shape[1] ** 0.5),
            final,
        )  # fmt: skip
        more = _more(seen.shape[1], days, most_days)
        if final or not more:
            return
        seen = np.hstack([seen, late(left, days, more * DAYS_EACH)])
        days += more * DAYS_EACH


def _more(count: int, days: int, most_days: int) -> int:
    """Return the observations until the next look: a twentieth more, as days allow."""
    return min(max(count // _LOOKS, 1), (most_days - days) // DAYS_EACH)


def _observed(daily: Values) -> Values:
    """Return means of so many days each; daily and result: shape (n, days, figures)."""
    many, days, figures = daily.shape
    found: Values = daily.reshape(many, days // DAYS_EACH, DAYS_EACH, figures).mean(axis=2)
    return found
