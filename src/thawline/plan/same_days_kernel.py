"""
The same simulated days for many staffings: who waits longer than promised, by the half hour.

People come once for all staffings, and staffings that agree up to a station share what happened
there. The bits are those of `general_days`. See docs/background/ranking.md.
"""

from thawline.base.compiled import Counts, Values, compiled, word
from thawline.plan.arrivals_kernel import SERVING, booked, put_in_order, walking_in
from thawline.plan.general_flow_kernel import TOGETHER, busy, changed, leave, station_day
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
        room: shape (3 * (stations + 1) + 2, people).
        unused: Room for figures that are not asked for, shape (2, any).
        came: shape (days, half hours), people by when they came.
        late: shape (days, staffings, half hours), those of them who waited longer.
    """
    stations = len(laws)
    nothing_ready = unused[0]
    for d in range(days):
        day = word(first + d)
        count = booked(base, day, bookings, slot_s, no_show, punctuality, room[3])
        count = walking_in(base, day, walk_ups, slot_s, gaps, room[3], count)
        put_in_order(room[3], count, per_s, starts, room[0])
        last = len(serving[0]) - 1
        for i in range(count):
            room[1][i] = room[0][i]
            room[2][i] = 0.0
            came[d][min(int(room[0][i] / half_s), last)] += 1.0
        for n in range(len(ways)):
            for k in range(int(shared[n]), stations):
                state = seeded(base, day, SERVING + word(k))
                servers, here, there = serving[int(ways[n][k])], line_of(k), line_of(k + 1)
                if settings[k][TOGETHER] > 1.0:
                    station_day(
                        room, here, there, count, servers, laws[k], state, settings[k],
                        nothing_ready, half_s, late_s, unused[1], 0, unused[0],
                    )  # fmt: skip
                else:
                    one_by_one(room, here, there, count, servers, laws[k], state, half_s)
            end = line_of(stations)
            for i in range(count):
                if room[end + 2][i] > late_s:
                    late[d][n][min(int(room[end + 1][i] / half_s), last)] += 1.0


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
    half, many, before = 0, int(servers[0]), 0.0
    for j in range(many):
        free[j] = 0.0
    for i in range(count):
        start = came[i]
        while True:
            if many > 0:
                start = max(came[i], free[0], before)
            if half + 1 == len(servers) or (many > 0 and start < (half + 1) * half_s):
                break
            half += 1
            many = changed(free, many, int(servers[half]), half * half_s)
        before = start
        found, state = drawn(state)
        until = start + looked_up(law, found)
        busy(free, many, until)
        leave(room, here, there, i, i, until, start - came[i])


@compiled
def line_of(station: int) -> int:
    """Return the row of the room at which the line of people before a station begins."""
    row = COMERS * station
    return row if station < _KEPT_FOR_STATION else row + _KEPT_FOR_STATION
