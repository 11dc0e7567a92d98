"""
Who comes to the clinic in one day, and when: booked people and others, in order of coming.

Every booking uses the same two random words whatever else is changed: whether the person
comes, and how early or late. See docs/background/clinic-day.md.
"""

from thawline.base.compiled import Counts, Values, compiled, word
from thawline.plan.quantile_tables import looked_up
from thawline.plan.random_words import drawn, seeded, uniform

BOOKED, WALKING, STAYING, SERVING = word(0), word(1), word(2), word(3)  # streams of a day


@compiled
def booked(
    base: int,
    day: int,
    bookings: Values,
    slot_s: float,
    no_show: float,
    punctuality: Values,
    came: Values,
) -> int:
    """Write when booked people come, not in order; return how many. Nobody before opening."""
    state = seeded(base, day, BOOKED)
    count = 0
    for slot in range(len(bookings)):
        due = slot * slot_s
        for _ in range(int(bookings[slot])):
            found, state = drawn(state)
            stays_away = uniform(found) < no_show
            found, state = drawn(state)
            if not stays_away:
                at = due + looked_up(punctuality, found)
                came[count] = at if at > 0.0 else 0.0
                count += 1
    return count


@compiled
def walking_in(
    base: int,
    day: int,
    per_slot: Values,
    slot_s: float,
    gaps: Values,
    came: Values,
    count: int,
) -> int:
    """
    Write when people without a booking come, after those written; return how many in all.

    Poisson's law in each slot, by gaps of the exponential law with mean 1; as many at most as
    there is room for.
    """
    state = seeded(base, day, WALKING)
    for slot in range(len(per_slot)):
        if per_slot[slot] > 0.0:
            found, state = drawn(state)
            place = looked_up(gaps, found) / per_slot[slot]
            while place < 1.0 and count < len(came):
                came[count] = (slot + place) * slot_s
                count += 1
                found, state = drawn(state)
                place += looked_up(gaps, found) / per_slot[slot]
    return count


@compiled
def put_in_order(
    came: Values, count: int, per_s: float, starts: Counts, ordered: Values
) -> None:
    """
    Write the first so many instants in order: into buckets, then past their neighbours.

    Args:
        came: Seconds from opening, 0 or more.
        count: How many of them count.
        per_s: Buckets a second.
        starts: Room for one number a bucket and one more.
        ordered: Where they are written.
    """
    last = len(starts) - 2
    for b in range(len(starts)):
        starts[b] = 0
    for i in range(count):
        starts[min(int(came[i] * per_s), last) + 1] += 1
    for b in range(last):
        starts[b + 1] += starts[b]
    for i in range(count):
        b = min(int(came[i] * per_s), last)
        ordered[starts[b]] = came[i]
        starts[b] += 1
    for i in range(1, count):
        at = ordered[i]
        j = i
        while j > 0 and ordered[j - 1] > at:
            ordered[j] = ordered[j - 1]
            j -= 1
        ordered[j] = at
