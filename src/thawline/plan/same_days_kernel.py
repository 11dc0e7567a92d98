"""
The same simulated days for many staffings: who waits longer than promised, by the half hour.

People come once for all staffings, and staffings that agree up to a station share what happened
there. The bits are those of `general_days`. See docs/background/ranking.md.
"""

from thawline.base.compiled import NONE_YET, Counts, Values, compiled, word
from thawline.plan.arrivals_kernel import SERVING
from thawline.plan.general_flow_kernel import TOGETHER, busy, changed, leave, station_day
from thawline.plan.lines_kernel import DESKS, came_apart, merged
from thawline.plan.quantile_tables import looked_up
from thawline.plan.random_words import State, drawn, seeded

COMERS = 3  # rows that a line of people takes: came, at the door, waited
_KEPT_FOR_STATION = 2  # rows 6 and 7 of the room, which `station_day` uses for itself
BESIDES = _KEPT_FOR_STATION


@compiled
def late_days(
    base: int,
    first: int,
    days: int,
    bookings: Values,
    slot_s: float,
    no_show: float,
    punctuality: Values,
    walk_ups: Values,
    gaps: Values,
    serving: Values,
    ways: Values,
    shared: Values,
    laws: Values,
    per_s: float,
    starts: Counts,
    settings: Values,
    split: int,
    half_s: float,
    late_s: float,
    room: Values,
    unused: Values,
    came: Values,
    late: Values,
) -> None:
    """
    Write how many came and how many of them waited too long, all stations together.

    Args as of `general_days`, but:
        serving: shape (ways, half hours), each way of serving that some staffing has.
        ways: shape (staffings, stations), a row of `serving` for each station.
        shared: At how many stations each staffing is as the one before it.
        split: Whether the first station is for booked people and the second for the others.
        room: shape (3 * (stations + 3) + 2, people).
        unused: Room for figures that are not asked for, shape (2, any).
        came: shape (days, half hours), people by when they came.
        late: shape (days, staffings, half hours), those of them who waited longer.
    """
    stations = len(laws)
    apart = line_of(stations) + COMERS  # the line of those without a booking, at their desk
    for d in range(days):
        day = word(first + d)
        many, others = doors(
            base, day, bookings, slot_s, no_show, punctuality, walk_ups, gaps, per_s, starts,
            split, apart, half_s, room, came[d],
        )  # fmt: skip
        for n in range(len(ways)):
            for k in range(int(shared[n]), stations):
                here, there, count = line_of(k), line_of(k + 1), many + others
                if split and k < DESKS:
                    count = others if k else many
                    here = apart if k else here
                    there = apart + COMERS if k else there
                passed_through(
                    room, here, there, count, serving[int(ways[n][k])], laws[k],
                    seeded(base, day, SERVING + word(k)), settings[k], half_s, unused,
                )  # fmt: skip
                if split and k == 1:
                    merged(room, line_of(k), many, there, others, line_of(k + 1))
            counted_late(room, line_of(stations), many + others, half_s, late_s, late[d][n])


@compiled
def doors(
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
    apart: int,
    half_s: float,
    room: Values,
    came: Values,
) -> tuple[int, int]:
    """
    Write the line at the door, or both; return how many stand in each, and count who came.

    Args as of `late_days`, but:
        day: Its number.
        apart: Row of the room for the line of those without a booking.
        came: shape (half hours,).
    """
    many, others = came_apart(
        base, day, bookings, slot_s, no_show, punctuality, walk_ups, gaps, per_s, starts,
        split, apart, room,
    )  # fmt: skip
    last = len(came) - 1
    for i in range(many):
        came[min(int(room[0][i] / half_s), last)] += 1.0
    for i in range(others):
        came[min(int(room[apart][i] / half_s), last)] += 1.0
    return many, others


@compiled
def counted_late(
    room: Values, end: int, count: int, half_s: float, late_s: float, late: Values
) -> None:
    """Count who waited longer than promised, by when they came."""
    last = len(late) - 1
    for i in range(count):
        if room[end + 2][i] > late_s:
            late[min(int(room[end + 1][i] / half_s), last)] += 1.0


@compiled
def passed_through(
    room: Values,
    here: int,
    there: int,
    count: int,
    servers: Values,
    law: Values,
    state: State,
    settings: Values,
    half_s: float,
    unused: Values,
) -> None:
    """Write who leaves a station when, by the shortest way there is for it."""
    if settings[TOGETHER] > 1.0:
        station_day(
            room, here, there, count, servers, law, state, settings, unused[0], half_s, 0.0,
            unused[1], NONE_YET, unused[0],
        )  # fmt: skip
    else:
        one_by_one(room, here, there, count, servers, law, state, half_s)


@compiled
def one_by_one(
    room: Values,
    here: int,
    there: int,
    count: int,
    servers: Values,
    law: Values,
    state: State,
    half_s: float,
) -> None:
    """Write who leaves a station when, as `station_day` does, and no figures of it."""
    came, free = room[here], room[6]
    half, many = 0, int(servers[0])
    for j in range(many):
        free[j] = 0.0
    for i in range(count):
        start = came[i]
        while True:
            if many > 0:
                start = max(came[i], free[0])
            if half + 1 == len(servers) or (many > 0 and start < (half + 1) * half_s):
                break
            half += 1
            many = changed(free, many, int(servers[half]), half * half_s)
        found, state = drawn(state)
        until = start + looked_up(law, found)
        busy(free, many, until)
        leave(room, here, there, i, i, until, start - came[i])


@compiled
def line_of(station: int) -> int:
    """Return the row of the room at which the line of people before a station begins."""
    row = COMERS * station
    return row if station < _KEPT_FOR_STATION else row + _KEPT_FOR_STATION
