"""
Lines of people: at the door, one or two of them, and two lines that become one.

Booked people may have a desk of their own and the others another. Then they stand in two lines
at the door, and in one again after the desks, in the order in which they left the two. See
docs/background/clinic-day.md.
"""

from thawline.base.compiled import NONE_YET, Counts, Values, compiled, whole
from thawline.plan.arrivals_kernel import booked, put_in_order, walking_in

# Rows of the room; each line takes three: came, at the door, waited.
BOOKED_LINE, LEFT_DESK = whole(0), whole(3)
DESKS = 2


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
    raw, others = LEFT_DESK, NONE_YET
    many = booked(base, day, bookings, slot_s, no_show, punctuality, room[raw])
    if split:
        aside = line + LEFT_DESK
        others = walking_in(base, day, walk_ups, slot_s, gaps, room[aside], NONE_YET)
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
