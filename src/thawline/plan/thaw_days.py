"""
Days of thawing played one by one: a plan asked again and again, beside plain rules.

A day is drawn: its kind, who comes in each slot, who walks in. Vials ordered in a slot are
ready a lead time later. Counted are doses thawed and never opened, people without a dose at
the close, and people who came while none was ready: a stock-out in the middle of the day is
charged like being turned away. See docs/background/rolling-thaw.md.
"""

from collections.abc import Callable
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray
from scipy.special import betaln, gammaln
from scipy.stats import binom, poisson

from thawline.base.errors import RecordError
from thawline.plan.day_kinds import DaySpread
from thawline.plan.opening_kernel import Numbers

Whole = NDArray[np.int64]
_RARE = 1e-12  # more walk-ups than this chance are not told apart


@dataclass(frozen=True, slots=True, eq=False)
class ThawDay:
    """
    A day in slots of equal length.

    Args:
        booked: shape (slots,), people booked by the slot in which they would come.
        walk_ups: People without a booking in a slot, on average.
        no_show: The share that stays away, and how it differs from day to day.
        doses_per_vial: In a full vial.
        lead: Slots from moving a vial until it may be opened.
        again: Slots until the plan is asked again.
    """

    booked: Whole
    walk_ups: float
    no_show: DaySpread
    doses_per_vial: int
    lead: int
    again: int

    def __post_init__(self) -> None:
        if self.lead < 0 or self.again < 1 or self.doses_per_vial < 1 or not len(self.booked):
            raise RecordError(
                f"lead {self.lead}, again after {self.again}, {len(self.booked)} slots",
                advice="a lead of 0 or more slots, and at least one slot",
            )

    @property
    def slots(self) -> int:
        """Return how many slots the day has."""
        return len(self.booked)


@dataclass(frozen=True, slots=True, eq=False)
class DrawnDays:
    """People with and without a booking who come, shape (days, slots)."""

    booked: Whole
    walking: Whole

    @property
    def so_far(self) -> Whole:
        """Return how many have come by the end of each slot."""
        found: Whole = np.cumsum(self.booked + self.walking, axis=1)
        return found


@dataclass(frozen=True, slots=True)
class Mean:
    """A mean over the days played, and its standard error."""

    value: float
    error: float


@dataclass(frozen=True, slots=True)
class CameTo:
    """
    What a rule came to, per day.

    `surplus`: doses thawed and never opened. `without`: people without a dose at the close.
    `none_ready`: people who came while no dose was ready, those at the close among them.
    """

    rule: str
    vials: Mean
    surplus: Mean
    without: Mean
    none_ready: Mean
    price: Mean


Rule = Callable[[ThawDay, DrawnDays], Whole]
"""Vials that are ready in each slot, in all, shape (days, slots)."""


def drawn_days(day: ThawDay, days: int, chance: np.random.Generator) -> DrawnDays:
    """Return days drawn by chance; every rule is played on the same ones."""
    if days < 2:  # noqa: PLR2004  one day has no standard error
        raise RecordError(f"{days} days to play", advice="at least 2")
    beta = day.no_show.beta
    share = np.full(days, day.no_show.mean) if beta is None else chance.beta(*beta, days)
    booked = chance.binomial(day.booked[None, :], 1 - share[:, None])
    return DrawnDays(booked, chance.poisson(day.walk_ups, booked.shape))


def at_once(vials: int) -> Rule:
    """Return the rule that has so many vials ready when the day begins, and no more."""
    return lambda _, days: np.full(days.booked.shape, vials)


def for_all_bookings(day: ThawDay) -> int:
    """Return the vials for everybody who is booked."""
    return -(-int(day.booked.sum()) // day.doses_per_vial)


def for_the_mean(day: ThawDay) -> int:
    """Return the vials for the mean number of people."""
    people = day.booked.sum() * (1 - day.no_show.mean) + day.walk_ups * day.slots
    return int(np.ceil(people / day.doses_per_vial))


def the_night_before(day: ThawDay, service: float) -> int:
    """Return the vials, all thawed before, that are enough for the day with this chance."""
    people = enough(day, np.zeros(1, dtype=np.int64), (0, day.slots), 0, service)
    return int(-(-people[0] // day.doses_per_vial))


def rolling(service: float) -> Rule:
    """
    Return the rule that is asked again and again.

    Each time: enough, with this chance, for those who came and everybody until what is moved
    the next time will be ready. What is thawed is never taken back.
    """

    def ready(day: ThawDay, days: DrawnDays) -> Whole:
        vials = np.zeros((len(days.booked), day.slots), dtype=np.int64)
        first = -(-day.lead // day.again) * day.again
        for now in range(-first, day.slots - day.lead, day.again):
            here = max(now, 0)
            came = days.booked[:, :here].sum(axis=1)
            walked = days.walking[:, :here].sum(axis=1)
            until = min(now + day.again + day.lead, day.slots)
            kinds, which = np.unique(came, return_inverse=True)
            more = enough(day, kinds, (here, until), int(day.booked[:here].sum()), service)
            needed = -(-(came + walked + more[which]) // day.doses_per_vial)
            from_then = vials[:, max(now + day.lead, 0) :]
            np.maximum(from_then, needed[:, None], out=from_then)
        return vials

    return ready


def enough(
    day: ThawDay, came: Whole, between: tuple[int, int], booked_so_far: int, service: float
) -> Whole:
    """
    Return the least number that is enough for who comes in the slots, with this chance.

    Args:
        day: The day.
        came: shape (n,), how many of those booked so far came: one answer for each.
        between: The first slot, and the one after the last.
        booked_so_far: People booked before the first slot.
        service: The chance asked for.
    """
    first, end = between
    booked = int(day.booked[first:end].sum())
    chances = _of_booked(day.no_show, came, booked_so_far, booked)
    walking = day.walk_ups * (end - first)
    if walking:
        chances = _with_walk_ups(chances, walking)
    short = np.cumsum(chances, axis=1) < service
    found: Whole = np.minimum(short.sum(axis=1), chances.shape[1] - 1)
    return found


def _of_booked(no_show: DaySpread, came: Whole, booked_so_far: int, booked: int) -> Numbers:
    """Return the beta-binomial chances after what was seen, shape (n, booked + 1)."""
    people = np.arange(booked + 1)
    beta = no_show.beta
    if beta is None:
        alike = binom.pmf(people, booked, 1 - no_show.mean)
        return np.broadcast_to(alike, (len(came), booked + 1))
    stays = (beta[0] + booked_so_far - came)[:, None]
    comes = (beta[1] + came)[:, None]
    ways = gammaln(booked + 1) - gammaln(people + 1) - gammaln(booked - people + 1)
    logs = ways + betaln(people + comes, booked - people + stays) - betaln(comes, stays)
    found: Numbers = np.exp(logs)
    return found


def _with_walk_ups(chances: Numbers, walking: float) -> Numbers:
    alone = poisson.pmf(np.arange(int(poisson.isf(_RARE, walking)) + 1), walking)
    size = chances.shape[1] + len(alone) - 1
    both = np.fft.rfft(chances, size, axis=1) * np.fft.rfft(alone, size)
    found: Numbers = np.fft.irfft(both, size, axis=1)
    return found


def came_to(
    name: str, rule: Rule, day: ThawDay, days: DrawnDays, prices: tuple[float, float]
) -> CameTo:
    """
    Return what a rule comes to.

    Args:
        name: What the rule is called.
        rule: The rule.
        day: What is known of the day.
        days: The days it is played on.
        prices: Of one person who finds no dose ready, and of one surplus dose; in doses.
    """
    vials = rule(day, days)
    so_far = days.so_far
    doses = vials * day.doses_per_vial
    before = np.concatenate([np.zeros((len(doses), 1), dtype=np.int64), so_far[:, :-1]], axis=1)
    none_ready = np.maximum(so_far - np.maximum(doses, before), 0).sum(axis=1)
    left = doses[:, -1] - so_far[:, -1]
    unopened = np.maximum(left, 0) // day.doses_per_vial * day.doses_per_vial
    return CameTo(
        rule=name,
        vials=_mean(vials[:, -1]),
        surplus=_mean(unopened),
        without=_mean(np.maximum(-left, 0)),
        none_ready=_mean(none_ready),
        price=_mean(prices[0] * none_ready + prices[1] * unopened),
    )


def _mean(values: NDArray[np.generic]) -> Mean:
    found = np.asarray(values, dtype=np.float64)
    return Mean(float(found.mean()), float(found.std(ddof=1) / np.sqrt(found.size)))
