"""
Rosters ranked again and again: `make rankings` writes docs/evidence/ranking.md.

The truth of each roster is what 10,000 days say that no ranking looks at; each ranking has a
seed of its own. What a ranking promises is then right or wrong.
"""

import sys
from collections.abc import Iterator
from dataclasses import dataclass
from datetime import timedelta
from itertools import islice
from pathlib import Path

import numpy as np

from thawline.adapters.many_days import side_by_side
from thawline.adapters.station_tables import stations_in
from thawline.plan.clinic_day import ClinicDay
from thawline.plan.ranking import Ranked, ranked
from thawline.plan.rosters import people_in, roster_of, rosters, serving
from thawline.plan.same_days import Staffing, late_by_staffing
from thawline.plan.selection import Sure
from thawline.plan.shifts import shifts
from thawline.plan.staffing import Promise, started

ROSTERS, RUNS, TRUE_DAYS, LOOK_DAYS, BLOCK, SLOTS, BOOKED = 150, 60, 10_000, 500, 500, 66, 8
MOST_DAYS = 20_000
TRUTH_SEED = 1_000_003
PROMISE = Promise(0.9, timedelta(minutes=12))
SURE = Sure(0.95, 0.02, 40)
OUT = Path(__file__).parents[2] / "docs" / "evidence" / "ranking.md"
PAGE = """---
orphan: true
---
# A ranking against the truth

`make rankings` makes this page. A day of {booked} bookings over {hours:g} hours, 8 % no-show,
the shipped example of stations, 9 in 10 to wait less than 12 min; {rosters} rosters on both
sides of the promise, {least} to {most} people. The truth of each is taken from {days:,} days of
a seed of its own; {runs} rankings, seeds 0 to {last}, {sure:.0%} sure, differences below
{close:.0%} aside.

| What is promised | Right in |
|---|---|
| the one chosen breaks no half hour by {close:.0%} or more | {safe} of {runs} |
| none with fewer people keeps every half hour with {close:.0%} to spare | {fewest} of {runs} |
| none with as many people has fewer late by {close:.0%} or more | {best} of {runs} |
| **all of it at once** | **{all} of {runs}** |
| decided within {allowed:,} days | {final} of {runs} |

Chosen were rosters of {people} people, on {shortest:,} to {longest:,} days for the promise. The
worst half hour of those chosen has truly {lowest:.1%} to {highest:.1%} late (promised 10 %, up
to 12 % not told apart). Of the rosters {unclear} lie within {close:.0%} of the promise, where
either answer is right.

Made with Python {python} and NumPy {numpy}.
"""


@dataclass(frozen=True)
class Truth:
    """Of each roster the people, the worst half hour's late share, and that of the day."""

    people: np.ndarray
    worst: np.ndarray
    late: np.ndarray

    def right(self, found: Ranked) -> tuple[bool, bool, bool]:
        """Return whether each thing that is promised of a ranking is right."""
        if found.best is None:
            return True, not (self.worst <= 0.1 - SURE.close).any(), True
        fewer = self.people < self.people[found.best]
        safe = self.worst[found.best] < 0.1 + SURE.close
        alike = (self.people == self.people[found.best]) & (self.worst <= 0.1 - SURE.close)
        ahead = self.late[found.best] - self.late[alike].min(initial=1.0)
        clear = self.worst <= 0.1 - SURE.close
        return bool(safe), not (fewer & clear).any(), bool(ahead < SURE.close)


def rosters_of(day: ClinicDay) -> tuple[list[int], list[Staffing]]:
    """
    Return people and staffings of the rosters near one that has nobody to spare.

    From the offered load on, the best of the rosters near the one before is taken, until fewer
    people break the promise; so that the last ones lie on both sides of it.
    """
    rule, halves = stations_in(None).shift, 24
    begun = started(day, PROMISE, halves)
    start, fewest = roster_of([shifts(s.servers, rule) for s in begun.stations]), None
    while True:
        near = list(islice(rosters(start, rule, halves), ROSTERS))
        people = [people_in(each) for each in near]
        staffings = [serving(each, halves) for each in near]
        if fewest == people[0]:
            return people, staffings
        fewest = people[0]
        true = truth(day, people, staffings, LOOK_DAYS)
        kept = [n for n in range(len(near)) if true.worst[n] < 1 - PROMISE.share]
        start = near[min(kept, key=lambda n: (people[n], true.worst[n]))]


def truth(day: ClinicDay, people: list[int], staffings: list[Staffing], days: int) -> Truth:
    """Return what so many days say, a block at a time."""
    came, late = 0.0, 0.0
    for first in range(0, days, BLOCK):
        across = side_by_side(_player(day, staffings, TRUTH_SEED), lambda *_: None)
        found = across(range(len(staffings)), first, BLOCK)
        came, late = came + found.came.sum(axis=0), late + found.late.sum(axis=1)
    some = came >= days
    shares = np.where(some, late / np.maximum(came, 1), 0)
    return Truth(np.array(people), shares.max(axis=1), late.sum(axis=1) / came.sum())


def _player(day: ClinicDay, staffings: list[Staffing], seed: int):
    def play(numbers, first, days):
        some = [staffings[number] for number in numbers]
        return late_by_staffing(day, some, seed, (first, days), PROMISE.within)

    return play


def runs(day: ClinicDay, people: list[int], staffings: list[Staffing]) -> Iterator[Ranked]:
    """Yield the answer of each ranking."""
    for seed in range(RUNS):
        across = side_by_side(_player(day, staffings, seed), lambda *_: None)
        *_, last = ranked(people, PROMISE.share, SURE, across, MOST_DAYS)
        sys.stderr.write(f"{seed + 1} of {RUNS}: {last}\n")
        yield last


def main() -> None:
    """Write the page."""
    site, slot = stations_in(None), timedelta(minutes=10)
    day = ClinicDay((BOOKED,) * SLOTS, slot, 0.08, site.punctuality, site.stations, site.stays)
    people, staffings = rosters_of(day)
    true = truth(day, people, staffings, TRUE_DAYS)
    found = list(runs(day, people, staffings))
    right = np.array([true.right(each) for each in found])
    chosen = [each.best for each in found if each.best is not None]
    OUT.write_text(
        PAGE.format(
            booked=BOOKED * SLOTS, hours=SLOTS / 6, rosters=len(staffings), least=min(people),
            most=max(people), days=TRUE_DAYS, runs=RUNS, last=RUNS - 1, sure=SURE.share,
            close=SURE.close, safe=right[:, 0].sum(), fewest=right[:, 1].sum(),
            best=right[:, 2].sum(), all=right.all(axis=1).sum(), allowed=MOST_DAYS,
            final=sum(each.final for each in found),
            people=" or ".join(map(str, sorted({people[each] for each in chosen}))),
            shortest=min(each.days for each in found), longest=max(each.days for each in found),
            lowest=true.worst[chosen].min(), highest=true.worst[chosen].max(),
            unclear=(np.abs(true.worst - 0.1) < SURE.close).sum(),
            python=sys.version.split()[0], numpy=np.__version__,
        )
    )  # fmt: skip


if __name__ == "__main__":
    main()
