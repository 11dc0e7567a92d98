"""
The random numbers of a simulated day, taken out one by one: who comes when, who takes how long.

With them another engine can play the very same day.
"""

from datetime import timedelta

import numpy as np

from thawline.base.compiled import passed, word
from thawline.plan import flow
from thawline.plan.arrivals_kernel import SERVING, booked, put_in_order, walking_in
from thawline.plan.flow_kernel import served, served_by_few
from thawline.plan.general_flow_kernel import BY_TIME, ROWS, station_day
from thawline.plan.quantile_tables import POINTS, STEPS, Law, looked_up
from thawline.plan.random_words import drawn, seeded


def state(base, day, stream):
    return tuple(word(a) for a in seeded(word(base), word(day), word(stream)))


def came(day, seed, number):
    """Return when people come, in order."""
    bookings, slot_s, no_show, punctuality, walk_ups, gaps = flow.comers(day)
    per_s, starts = flow.buckets(day)
    raw, ordered = (passed(np.zeros(day.most_people)) for _ in range(2))
    at = word(seed), word(number)
    count = booked(*at, bookings, slot_s, no_show, punctuality, raw)
    count = walking_in(*at, walk_ups, slot_s, gaps, raw, count)
    put_in_order(raw, count, per_s, starts, ordered)
    return list(ordered[:count])


def services(law, many, seed, number, station):
    """Return how long the first so many turns at a station take."""
    found, at, table = [], state(seed, number, int(SERVING) + station), passed(law.table)
    for _ in range(many):
        next_word, at = drawn(at)
        at = tuple(map(word, at))
        found.append(looked_up(table, word(next_word)))
    return found


def steps_of(values):
    """Return a law that gives each of the values as often."""
    edges = np.repeat(values, -(-POINTS // len(values)))[:POINTS].astype(float)
    ends = (np.full(POINTS, values[0]), np.full(POINTS, values[-1]))
    return Law(np.concatenate([edges, *ends]).astype(float))


def seed_with(law, wanted):
    """Return a seed under which the first turns at the first station take exactly so long."""
    for seed in range(10 * STEPS):
        if services(law, len(wanted), seed, 0, 0) == list(wanted):
            return seed
    raise AssertionError(wanted)


def by_search(arrivals, servers, law, seed):
    """Return sum of waits, longest wait and departures, by the kernel for many servers."""
    left = passed(np.zeros(len(arrivals) + servers))
    at = state(seed, 0, int(SERVING))
    ends = served(passed(arrivals), 0, len(arrivals), servers, passed(law.table), at, left)
    return (*ends, list(left[servers:]))


def by_comparing(arrivals, servers, law, seed):
    """Return the same, by the kernel for few servers."""
    left, window = passed(np.zeros(len(arrivals) + servers)), passed(np.zeros(servers + 1))
    at = state(seed, 0, int(SERVING))
    ends = served_by_few(
        passed(arrivals), 0, len(arrivals), servers, passed(law.table), at, left, window
    )
    return (*ends, list(left[servers:]))


def by_person(arrivals, servers, law, seed):
    """Return the same, by the kernel that follows each person."""
    count, half = len(arrivals), timedelta(minutes=30).total_seconds()
    room = passed([[*arrivals, *[0.0] * (servers + 9)]] * ROWS)
    total, longest, _ = station_day(
        room, 0, 3, count, passed([float(servers)]), passed(law.table),
        state(seed, 0, int(SERVING)), passed([1, 0, 0, 0, 0]), passed([]), half, 0.0,
        passed(np.zeros(2 * BY_TIME)), 0, passed(np.zeros(9)),
    )  # fmt: skip
    return total, longest, list(room[3][:count])
