"""
Days of a clinic, one after the other, station by station: numbers in, numbers out.

The plain path: as many people at each station all day, and a dose for everybody. Stations are
worked through one after the other, each person in order of coming (the recursion of Kiefer
and Wolfowitz). The servers' free times are the latest departures so far, as many as there are
servers; so one list in order serves for both. See docs/background/clinic-day.md.
"""

import math

from thawline.base.compiled import COMPILES, NONE_YET, Counts, Values, compiled, word
from thawline.plan.arrivals_kernel import SERVING, STAYING, booked, put_in_order, walking_in
from thawline.plan.quantile_tables import looked_up
from thawline.plan.random_words import State, drawn, seeded, uniform

# Columns of a day's figures; after them mean and longest wait of each station.
CAME, UNSERVED, WASTED, VIALS, STAY, PEAK, FINISH = range(7)
COLUMNS = 7

FEW = 32  # servers up to which comparing all of them is faster than a search; measured
ONE = word(1)  # the compiler does not ask whether a word is below zero


@compiled
def plain_days(
    base: int,
    first: int,
    days: int,
    bookings: Values,
    slot_s: float,
    no_show: float,
    punctuality: Values,
    walk_ups: Values,
    gaps: Values,
    servers: Values,
    laws: Values,
    stays_s: Values,
    stays_upto: Values,
    per_s: float,
    starts: Counts,
    one: Values,
    other: Values,
    window: Values,
    figures: Values,
) -> None:
    """
    Write the figures of so many days, one row each.

    Args:
        base: The seed.
        first: Number of the first day.
        days: How many.
        bookings: People booked in each slot.
        slot_s: Length of a slot.
        no_show: Chance that a booked person does not come.
        punctuality: Table of how late they come.
        walk_ups: Mean number of others in each slot.
        gaps: Table of the exponential law with mean 1.
        servers: People serving at each station.
        laws: One table a station.
        stays_s: Lengths of stay in the observation area.
        stays_upto: Share of people who stay no longer.
        per_s: Buckets a second, for putting in order.
        starts: Room for the buckets.
        one: Room for the people of a day and the servers of a station.
        other: The same again.
        window: Room for the servers of a station that is worked through by `served_by_few`.
        figures: shape (days, 7 + 2 * stations).
    """
    for d in range(days):
        day = word(first + d)
        row = figures[d]
        count = booked(base, day, bookings, slot_s, no_show, punctuality, other)
        count = walking_in(base, day, walk_ups, slot_s, gaps, other, count)
        put_in_order(other, count, per_s, starts, one)
        total = 0.0
        for i in range(count):
            total += one[i]
        skip = NONE_YET
        for k in range(len(laws)):
            state = seeded(base, day, SERVING + word(k))
            many = int(servers[k])
            if COMPILES and many < len(window):
                waited, longest = served_by_few(
                    one, skip, count, many, laws[k], state, other, window
                )
            else:
                waited, longest = served(one, skip, count, many, laws[k], state, other)
            row[COLUMNS + 2 * k] = waited / max(count, 1)
            row[COLUMNS + 2 * k + 1] = longest
            one, other = other, one
            skip = many
        state = seeded(base, day, STAYING)
        left, peak = observed(one, skip, count, stays_s, stays_upto, state, other)
        row[CAME] = count
        row[STAY] = (left - total) / max(count, 1)
        row[PEAK] = peak
        row[FINISH] = other[count - 1] if count > 0 else 0.0


@compiled
def served(
    came: Values, skip: int, count: int, servers: int, law: Values, state: State, left: Values
) -> tuple[float, float]:
    """
    Return the sum of the waits and the longest; write the departures in order.

    Before the departures stand as many zeros as there are servers, free from opening on: the
    one who is free first when person i starts is then entry i.
    """
    total, longest = 0.0, 0.0
    for j in range(servers):
        left[j] = 0.0
    for i in range(count):
        at = came[skip + i]
        start = max(at, left[i])
        total += start - at
        longest = max(longest, start - at)
        found, state = drawn(state)
        until = start + looked_up(law, found)
        j = servers + i
        while left[j - 1] > until:
            left[j] = left[j - 1]
            j -= 1
        left[j] = until
    return total, longest


@compiled
def served_by_few(
    came: Values,
    skip: int,
    count: int,
    servers: int,
    law: Values,
    state: State,
    left: Values,
    window: Values,
) -> tuple[float, float]:
    """
    Return and write the same as `served`, without a branch that a processor could guess wrong.

    The instants at which servers are free stand apart, in order. A new one takes its place by
    comparing each with its neighbour, as many times as there are servers.
    """
    total, longest = 0.0, 0.0
    for j in range(servers):
        window[j] = 0.0
    window[servers] = math.inf
    most = word(servers + 1)
    for i in range(count):
        at = came[skip + i]
        left[i] = window[0]
        start = max(at, window[0])
        total += start - at
        longest = max(longest, start - at)
        found, state = drawn(state)
        until = start + looked_up(law, found)
        before = window[0]
        for here in range(ONE, most):
            after = window[here]
            lower = after if after < until else until
            window[here - ONE] = before if before > lower else lower
            before = after
    for j in range(servers):
        left[count + j] = window[j]
    return total, longest


@compiled
def observed(
    came: Values,
    skip: int,
    count: int,
    stays_s: Values,
    stays_upto: Values,
    state: State,
    left: Values,
) -> tuple[float, int]:
    """Return the sum of the instants of leaving and the most at once; write them in order."""
    total, gone, peak = 0.0, 0, 0
    for i in range(count):
        at = came[skip + i]
        found, state = drawn(state)
        share = uniform(found)
        k = 0
        while share >= stays_upto[k]:
            k += 1
        until = at + stays_s[k]
        total += until
        j = i
        while j > 0 and left[j - 1] > until:
            left[j] = left[j - 1]
            j -= 1
        left[j] = until
        while gone < i and left[gone] <= at:  # who was seated just now is there
            gone += 1
        peak = max(peak, i + 1 - gone)
    return total, peak
