"""
A thousand staffings on the same 200 days of 2,400 bookings: how long on the cores there are.

The day is that of `flow.py`, four stations. Two sets: rosters near one another, as `plan staff
--rank` plays them, and staffings in which every half hour of every station is drawn by chance,
which share next to nothing. A few of each are played alone as well: their bits must be equal.

`benchmarks/staffings.py 100` plays a tenth of the staffings.
"""

import os
import sys
from collections.abc import Sequence
from datetime import timedelta
from itertools import islice
from time import perf_counter, process_time

import flow
import numpy as np

from thawline.adapters.many_days import side_by_side
from thawline.adapters.station_tables import stations_in
from thawline.plan.clinic_day import ClinicDay
from thawline.plan.flow import followed_days
from thawline.plan.general_flow_kernel import LATE, PEOPLE
from thawline.plan.rosters import roster_of, rosters, serving
from thawline.plan.same_days import Late, Staffing, late_by_staffing, staffed
from thawline.plan.shifts import shifts
from thawline.plan.staffing import Promise, started

STAFFINGS, DAYS, SEED, ALONE = 1_000, 200, 28, 5
PROMISE = Promise(0.9, timedelta(minutes=20))
HOLD_S = 60.0


def compared(many: int = STAFFINGS) -> int:
    """Measure, print the table, and return 1 if a figure is missed or bits differ."""
    day = flow._clinic_day()  # noqa: SLF001 - the same day as there
    sets = {"rosters near one another": near(day, many), "drawn by chance": drawn(day, many)}
    cores = os.cpu_count() or 1
    print(f"\n{many:,} staffings on the same {DAYS} days of 2,400 bookings, {cores} cores")
    print(f"{'':<28}{'by the clock':>14}{'of the processor':>18}{'alone':>10}  to hold")
    missed = 0
    for name, staffings in sets.items():
        took, worked, found = timed(day, staffings)
        each, same = alone(day, staffings, found)
        held = took <= HOLD_S * many / STAFFINGS
        missed |= not (held and same)
        print(
            f"{name:<28}{took:>12.1f} s{worked:>16.1f} s{each * many * DAYS:>8.0f} s  "
            f"{HOLD_S * many / STAFFINGS:g} s, {'equal bits' if same else 'BITS DIFFER'}"
            f"{'' if held else '  MISSED'}"
        )
    print(f"load {os.getloadavg()[0]:.1f}, Python {sys.version[:6]}; seed {SEED}")
    return int(missed)


def near(day: ClinicDay, many: int) -> list[Staffing]:
    """Return staffings of rosters that differ in one or two changes."""
    halves, rule = _halves(day), stations_in(None).shift
    begun = started(day, PROMISE, halves)
    start = roster_of([shifts(station.servers, rule) for station in begun.stations])
    return [serving(roster, halves) for roster in islice(rosters(start, rule, halves), many)]


def drawn(day: ClinicDay, many: int) -> list[Staffing]:
    """Return staffings with one more or fewer in each half hour, by chance."""
    dice = np.random.default_rng(SEED)
    begun = started(day, PROMISE, _halves(day))
    return [
        tuple(
            tuple(np.maximum(np.array(s.servers) + dice.integers(-1, 2, len(s.servers)), 1))
            for s in begun.stations
        )
        for _ in range(many)
    ]


def timed(day: ClinicDay, staffings: Sequence[Staffing]) -> tuple[float, float, Late]:
    """Return the seconds by the clock, of the processor, and what was found."""

    def play(numbers: Sequence[int], first: int, days: int) -> Late:
        some = [staffings[number] for number in numbers]
        return late_by_staffing(day, some, SEED, (first, days), PROMISE.within)

    across = side_by_side(play, lambda *_: None)
    across([0], 0, 1)
    start, begun = perf_counter(), process_time()
    found = across(range(len(staffings)), 0, DAYS)
    return perf_counter() - start, process_time() - begun, found


def alone(day: ClinicDay, staffings: Sequence[Staffing], found: Late) -> tuple[float, bool]:
    """Return the processor's seconds a day, some one by one, and whether the bits are equal."""
    some = range(0, len(staffings), max(len(staffings) // ALONE, 1))
    follow = [staffed(day, staffings[number]) for number in some]
    followed_days(follow[0], SEED, (0, 1), PROMISE.within)
    start = process_time()
    doors = [
        followed_days(each, SEED, (0, DAYS), PROMISE.within).by_time[:, -1] for each in follow
    ]
    took = process_time() - start
    same = all(
        np.array_equal(door[:, :, LATE], found.late[number])
        and np.array_equal(door[:, :, PEOPLE], found.came)
        for number, door in zip(some, doors, strict=True)
    )
    return took / len(follow) / DAYS, same


def _halves(day: ClinicDay) -> int:
    return followed_days(day, SEED, (0, 1), PROMISE.within).by_time.shape[2]


if __name__ == "__main__":
    sys.exit(compared(*map(int, sys.argv[1:])))
