"""
Days of a clinic with a desk of its own for those without a booking.

Booked people pass the first station, the others the second; from the third on they stand in
one line again, in the order in which they left the two. Everything else is as in
`general_days`. See docs/background/clinic-day.md.
"""

from thawline.base.compiled import Counts, Values, compiled, word
from thawline.plan.arrivals_kernel import SERVING, STAYING, booked, put_in_order, walking_in
from thawline.plan.flow_kernel import CAME, COLUMNS, STAY, UNSERVED
from thawline.plan.general_flow_kernel import BY_TIME, at_the_door, station_day, watched
from thawline.plan.random_words import seeded

BOOKED_LINE, LEFT_DESK, WALK_UP_LINE, LEFT_WALK_UP_DESK = 0, 3, 8, 11  # rows 6, 7: of stations
SPLIT_ROWS = 14
DESKS = 2


@compiled
def split_days(
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
    settings: Values,
    ready: Values,
    half_s: float,
    late_s: float,
    room: Values,
    figures: Values,
    by_time: Values,
    peaks: Values,
) -> None:
    """
    Write the figures of so many days, and what happened by the half hour.

    Args as of `general_days`, but:
        servers: Of the desk for booked people, of the desk for the others, of the stations
            that everybody passes.
        room: shape (14, people).
    """
    halves = len(servers[0])
    for d in range(days):
        day = word(first + d)
        row = figures[d]
        many, others = came_apart(
            base, day, bookings, slot_s, no_show, punctuality, walk_ups, gaps, per_s, starts,
            1, WALK_UP_LINE, room,
        )  # fmt: skip
        count = many + others
        row[CAME] = count
        total = _sum(room[BOOKED_LINE], many) + _sum(room[WALK_UP_LINE], others)
        here, there, at = BOOKED_LINE, LEFT_DESK, many
        for k in range(len(laws)):
            if k == 1:
                here, there, at = WALK_UP_LINE, LEFT_WALK_UP_DESK, others
            state = seeded(base, day, SERVING + word(k))
            waited, longest, done = station_day(
                room, here, there, at, servers[k], laws[k], state, settings[k], ready,
                half_s, late_s, by_time[d], k * halves * BY_TIME, row,
            )  # fmt: skip
            total -= _sum(room[here + 1][done:at], at - done)
            row[UNSERVED] += at - done
            row[COLUMNS + 2 * k] = waited / max(done, 1)
            row[COLUMNS + 2 * k + 1] = longest
            if k == 1:
                merged(room, LEFT_DESK, many, LEFT_WALK_UP_DESK, others, BOOKED_LINE)
                here, there, at = BOOKED_LINE, LEFT_DESK, count
            elif k > 1:
                here, there, at = there, here, done
        at_the_door(room, here, at, halves, half_s, late_s, by_time[d], len(laws))
        state = seeded(base, day, STAYING)
        left = watched(room, here, there, at, stays_s, stays_upto, state, half_s, peaks[d], row)
        row[STAY] = (left - total) / max(at, 1)


@compiled
def _sum(values: Values, count: int) -> float:
    total = 0.0
    for i in range(count):
        total += values[i]
    return total


@compiled
def came_apart(
    base: int,
    day: int,
    bookings: Values,
    slot_s: float,
    no_show: float,
    punctuality: Values,
    walk_ups: Values,
    gaps: Values,
    per_s: float,
    starts: Counts,
    split: int,
    line: int,
    room: Values,
) -> tuple[int, int]:
    """
    Write the lines at the door, each in order; return how many stand in each.

    Args as of `general_days`, but:
        day: Its number.
        split: Whether those without a booking stand in a line of their own.
        line: Row of the room where that line begins; three rows after it may be written over.
    """
    raw, others = LEFT_DESK, 0
    many = booked(base, day, bookings, slot_s, no_show, punctuality, room[raw])
    if split:
        aside = line + LEFT_DESK
        others = walking_in(base, day, walk_ups, slot_s, gaps, room[aside], 0)
        put_in_order(room[aside], others, per_s, starts, room[line])
    else:
        many = walking_in(base, day, walk_ups, slot_s, gaps, room[raw], many)
    put_in_order(room[raw], many, per_s, starts, room[BOOKED_LINE])
    for i in range(many):
        room[BOOKED_LINE + 1][i] = room[BOOKED_LINE][i]
        room[BOOKED_LINE + 2][i] = 0.0
    for i in range(others):
        room[line + 1][i] = room[line][i]
        room[line + 2][i] = 0.0
    return many, others


@compiled
def merged(room: Values, one: int, many: int, other: int, more: int, to: int) -> None:
    """Write two lines as one, in order; of two at one instant the first line's goes first."""
    i, j = 0, 0
    for n in range(many + more):
        if j == more or (i < many and room[one][i] <= room[other][j]):
            row, place = one, i
            i += 1
        else:
            row, place = other, j
            j += 1
        room[to][n] = room[row][place]
        room[to + 1][n] = room[row + 1][place]
        room[to + 2][n] = room[row + 2][place]
