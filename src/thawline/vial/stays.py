"""Stretches of time that count against a limit, added up without counting a minute twice."""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import timedelta

from thawline.base.instants import Instant
from thawline.vial.order import followers, numbered
from thawline.vial.story import Fact, What


@dataclass(frozen=True, slots=True)
class Stay:
    """Time that counts, from `start` to `end`; no end means it is still running."""

    start: Instant
    end: Instant | None


def table_stays(facts: Sequence[Fact], at: Instant) -> list[Stay]:
    """
    Return the stays on the table, each as long as any reading of its times allows.

    A stay ends only with a move to the fridge that certainly came after it began, and that
    certainly has happened by the instant that is asked about.
    """
    returns = [back for back in numbered(facts, What.TO_FRIDGE) if back[1].when.hi <= at]
    stays = []
    for put_out in numbered(facts, What.TO_TABLE):
        ends = [back[1].when.hi for back in followers(put_out, returns)]
        stays.append(Stay(put_out[1].when.lo, min(ends, default=None)))
    return stays


def cut(stays: Iterable[Stay], at: Instant | None) -> list[Stay]:
    """Return the stays as far as they lie before the instant; None cuts nothing."""
    if at is None:
        return list(stays)
    return [
        Stay(stay.start, at if stay.end is None else min(stay.end, at))
        for stay in stays
        if stay.start < at
    ]


def union(stays: Iterable[Stay]) -> list[Stay]:
    """Return the stays joined where they touch, so that no minute stands in two of them."""
    joined: list[Stay] = []
    for stay in sorted(stays, key=lambda each: each.start):
        last = joined[-1] if joined else None
        if last is None or (last.end is not None and last.end < stay.start):
            joined.append(stay)
        elif last.end is not None:
            end = None if stay.end is None else max(last.end, stay.end)
            joined[-1] = Stay(last.start, end)
    return joined


def used(stays: Iterable[Stay], at: Instant) -> timedelta:
    """Return how much time the joined stays have used up to the instant."""
    lengths = (
        (at if stay.end is None else min(stay.end, at)) - stay.start
        for stay in union(stays)
        if stay.start < at
    )
    return sum(lengths, timedelta())


def reached(stays: Iterable[Stay], budget: timedelta) -> Instant | None:
    """Return when the joined stays have used the budget; None if they end before."""
    left = budget
    for stay in union(stays):
        if stay.end is None or stay.end - stay.start >= left:
            return Instant(stay.start + left)
        left -= stay.end - stay.start
    return None
