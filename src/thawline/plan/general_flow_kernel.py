"""
Days of a clinic with shifts, breaks, groups, vials and stock: each person is followed.

Slower than the plain path, and with the same bits where nothing of that is asked for. Who came
first is served first at every station, so that stations can be worked through one after the
other here as well. See docs/background/clinic-day.md.
"""

import math

from thawline.base.compiled import NONE_YET, Counts, Values, compiled, whole, word
from thawline.plan.arrivals_kernel import SERVING, STAYING
from thawline.plan.flow_kernel import CAME, COLUMNS, FINISH, PEAK, STAY, UNSERVED, VIALS, WASTED
from thawline.plan.lines_kernel import BOOKED_LINE, LEFT_DESK, came_apart, merged
from thawline.plan.quantile_tables import looked_up
from thawline.plan.random_words import State, drawn, seeded, uniform

# Of each station and half hour: people who came to it, their waits, waits longer than
# promised, people whose turn began. Of the door: by when people came, waits of all stations.
PEOPLE, WAITS, LATE, BEGUN = range(4)
BY_TIME = 4

# Of a station: people taken together, longest wait for a group, doses in a vial (0: no doses
# are taken), life of an opened vial, 1 where vials become ready at given instants.
TOGETHER, GATHER_S, PER_VIAL, LIFE_S, PLANNED = range(5)
SETTINGS = 5

ROWS = 8  # of the room for a day's people
# Rows of those without a booking, at their own desk.
WALK_UP_LINE, LEFT_WALK_UP_DESK = whole(8), whole(11)
SPLIT_ROWS = 14  # of the room where they have one

# What a station is at while its day is worked through.
DOSES, OPENED, USE_BY, HALF, MANY, BEFORE = range(6)
STATES = 6
NEVER = math.inf


@compiled
def general_days(
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
    split: int,
    half_s: float,
    late_s: float,
    room: Values,
    figures: Values,
    by_time: Values,
    peaks: Values,
) -> None:
    """
    Write the figures of so many days, one row each, and what happened by the half hour.

    Args as of `plain_days`, but:
        servers: shape (stations, half hours), people serving.
        settings: shape (stations, 5), see above.
        ready: When each thawed vial is ready, in order.
        split: Whether the first station is for booked people and the second for the others.
        half_s: Length of a half hour.
        late_s: A wait that is longer than this breaks the promise.
        room: shape (8, people): came, at the door, waited, each twice; when servers are free;
            what the station is at. Six rows more where the desks are split.
        by_time: shape (days, (stations + 1) * half hours * 4), of the door last.
        peaks: shape (days, half hours): most people under observation.
    """
    halves = len(servers[0])
    for d in range(days):
        day = word(first + d)
        row = figures[d]
        many, others = came_apart(
            base, day, bookings, slot_s, no_show, punctuality, walk_ups, gaps, per_s, starts,
            split, WALK_UP_LINE, room,
        )  # fmt: skip
        total = 0.0
        for i in range(many):
            total += room[BOOKED_LINE][i]
        for i in range(others):
            total += room[WALK_UP_LINE][i]
        row[CAME] = many + others
        here, there, count = BOOKED_LINE, LEFT_DESK, many
        for k in range(len(laws)):
            if split and k == 1:
                here, there, count = WALK_UP_LINE, LEFT_WALK_UP_DESK, others
            state = seeded(base, day, SERVING + word(k))
            waited, longest, done = station_day(
                room, here, there, count, servers[k], laws[k], state, settings[k], ready,
                half_s, late_s, by_time[d], k * halves * BY_TIME, row,
            )  # fmt: skip
            for i in range(done, count):
                total -= room[here + 1][i]
            row[UNSERVED] += count - done
            row[COLUMNS + 2 * k] = waited / max(done, 1)
            row[COLUMNS + 2 * k + 1] = longest
            if split and k == 1:
                merged(room, LEFT_DESK, many, LEFT_WALK_UP_DESK, others, BOOKED_LINE)
                here, there, count = BOOKED_LINE, LEFT_DESK, many + others
            else:
                here, there, count = there, here, done
        at_the_door(room, here, count, halves, half_s, late_s, by_time[d], len(laws))
        state = seeded(base, day, STAYING)
        left = watched(
            room, here, there, count, stays_s, stays_upto, state, half_s, peaks[d], row
        )
        row[STAY] = (left - total) / max(count, 1)


@compiled
def station_day(
    room: Values,
    here: int,
    there: int,
    count: int,
    servers: Values,
    law: Values,
    state: State,
    settings: Values,
    ready: Values,
    half_s: float,
    late_s: float,
    by_time: Values,
    offset: int,
    row: Values,
) -> tuple[float, float, int]:
    """Return the sum of the waits, the longest, and how many were served."""
    now = room[7]
    for j in range(STATES):
        now[j] = 0.0
    now[MANY] = servers[0]
    for j in range(int(servers[0])):
        room[6][j] = 0.0
    together, total, longest = int(settings[TOGETHER]), 0.0, 0.0
    i, done = NONE_YET, NONE_YET
    while i < count:
        whole = _gathered(room[here], i, count, together, settings[GATHER_S])
        start = next_turn(room[6], now, whole, servers, settings, ready, half_s)
        if start == NEVER:
            break
        now[BEFORE] = start
        if settings[PER_VIAL] > 0.0:
            row[WASTED] += one_dose(now, start, settings)
        found, state = drawn(state)
        until = start + looked_up(law, found)
        busy(room[6], int(now[MANY]), until)
        end = min(i + together, count)
        while i < end and room[here][i] <= start:
            wait = start - room[here][i]
            total += wait
            longest = max(longest, wait)
            _noted(by_time, offset, len(servers), half_s, room[here][i], start, wait, late_s)
            leave(room, here, there, i, done, until, wait)
            done += 1
            i += 1
    row[WASTED] += now[DOSES]
    row[VIALS] += now[OPENED]
    return total, longest, done


@compiled
def next_turn(
    free: Values,
    now: Values,
    whole: float,
    servers: Values,
    settings: Values,
    ready: Values,
    half_s: float,
) -> float:
    """
    Return when the next turn begins, after everybody who comes on shift or leaves before it.

    Never before the turn before it, and never at all where no vial is left for it.
    """
    while True:
        half, many = int(now[HALF]), int(now[MANY])
        start = whole
        if many > 0:
            start = max(whole, float(free[0]), float(now[BEFORE]))
            if settings[PLANNED] > 0.0 and _needs_vial(now, start):
                opened = int(now[OPENED])
                start = max(start, float(ready[opened])) if opened < len(ready) else NEVER
        if half + 1 == len(servers) or (many > 0 and start < (half + 1) * half_s):
            return start
        now[HALF] = half + 1
        now[MANY] = changed(free, many, int(servers[half + 1]), (half + 1) * half_s)


@compiled
def _needs_vial(now: Values, at: float) -> bool:
    """Say whether a dose at that instant needs another vial opened."""
    return bool(now[DOSES] == 0.0 or at >= now[USE_BY])


@compiled
def one_dose(now: Values, at: float, settings: Values) -> float:
    """Return how many doses a vial past its use-by leaves; take one, of another vial if so."""
    wasted = 0.0
    if _needs_vial(now, at):
        wasted = float(now[DOSES])
        now[DOSES] = settings[PER_VIAL]
        now[USE_BY] = at + settings[LIFE_S]
        now[OPENED] += 1.0
    now[DOSES] -= 1.0
    return wasted


@compiled
def _gathered(came: Values, i: int, count: int, together: int, gather_s: float) -> float:
    """Return when the group that begins with person i is whole, or has waited long enough."""
    whole = float(came[i])
    if together > 1:
        whole += gather_s
        if i + together <= count:
            whole = min(whole, float(came[i + together - 1]))
    return whole


@compiled
def changed(free: Values, many: int, wanted: int, at: float) -> int:
    """
    Return how many serve from an instant on; write when each is free.

    Who leaves are those free first: whoever has nobody in hand, then whoever is finished first.
    """
    fewer = max(many - wanted, 0)
    for j in range(many - fewer):
        free[j] = free[j + fewer]
    many -= fewer
    while many < wanted:
        j = many
        while j > 0 and free[j - 1] > at:
            free[j] = free[j - 1]
            j -= 1
        free[j] = at
        many += 1
    return many


@compiled
def busy(free: Values, many: int, until: float) -> None:
    """Put the server who was free first in order again, now busy until an instant."""
    j = 1
    while j < many and free[j] < until:
        free[j - 1] = free[j]
        j += 1
    free[j - 1] = until


@compiled
def leave(
    room: Values, here: int, there: int, i: int, done: int, until: float, wait: float
) -> None:
    """Write a person among those who left the station, in order of leaving."""
    left, doors, waits = room[there], room[there + 1], room[there + 2]
    j = done
    while j > 0 and left[j - 1] > until:
        left[j] = left[j - 1]
        doors[j] = doors[j - 1]
        waits[j] = waits[j - 1]
        j -= 1
    left[j] = until
    doors[j] = room[here + 1][i]
    waits[j] = room[here + 2][i] + wait


@compiled
def _noted(
    by_time: Values,
    offset: int,
    halves: int,
    half_s: float,
    came: float,
    start: float,
    wait: float,
    late_s: float,
) -> None:
    """Count one person's wait in the half hour of coming, the turn in that of its beginning."""
    place = offset + min(int(came / half_s), halves - 1) * BY_TIME
    by_time[place + PEOPLE] += 1.0
    by_time[place + WAITS] += wait
    by_time[place + LATE] += 1.0 if wait > late_s else 0.0
    by_time[offset + min(int(start / half_s), halves - 1) * BY_TIME + BEGUN] += 1.0


@compiled
def at_the_door(
    room: Values,
    here: int,
    count: int,
    halves: int,
    half_s: float,
    late_s: float,
    by_time: Values,
    stations: int,
) -> None:
    """Count everybody's waits at all stations together."""
    offset = stations * halves * BY_TIME
    for i in range(count):
        door, wait = room[here + 1][i], room[here + 2][i]
        _noted(by_time, offset, halves, half_s, door, room[here][i], wait, late_s)


@compiled
def watched(
    room: Values,
    here: int,
    there: int,
    count: int,
    stays_s: Values,
    stays_upto: Values,
    state: State,
    half_s: float,
    peaks: Values,
    row: Values,
) -> float:
    """Return the sum of the instants of leaving; write the most at once, by the half hour."""
    came, left = room[here], room[there]
    total, gone, half = 0.0, NONE_YET, 0
    for i in range(count):
        at = came[i]
        while half + 1 < len(peaks) and at >= (half + 1) * half_s:
            half += 1
            gone = _gone(left, gone, i, half * half_s)
            peaks[half] = i - gone
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
        gone = _gone(left, gone, i, at)
        peaks[half] = max(peaks[half], i + 1 - gone)
        row[PEAK] = max(row[PEAK], i + 1 - gone)
    for after in range(half + 1, len(peaks)):
        gone = _gone(left, gone, count, after * half_s)
        peaks[after] = count - gone
    row[FINISH] = left[count - 1] if count > 0 else 0.0
    return total


@compiled
def _gone(left: Values, gone: int, most: int, at: float) -> int:
    """Return how many of those seated have left by an instant; at least as many as before."""
    while gone < most and left[gone] <= at:
        gone += 1
    return gone
