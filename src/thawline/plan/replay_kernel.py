"""
A day that was: the people as the record has them, the chairs and draw tables by chance.

Two lines of servers hang together: a preparer draws the next dose, so many ahead at most, and
whoever is next in line sits down when a chair is free and a dose is drawn. A dose is for
whoever comes next, so they are taken in the order in which they are ready. See
docs/background/replay.md.
"""

from thawline.base.compiled import NONE_YET, Values, compiled, word
from thawline.plan.arrivals_kernel import BOOKED, SERVING
from thawline.plan.general_flow_kernel import (
    BEFORE,
    DOSES,
    MANY,
    NEVER,
    OPENED,
    STATES,
    busy,
    next_turn,
    one_dose,
)
from thawline.plan.quantile_tables import looked_up
from thawline.plan.random_words import drawn, seeded, uniform

# Of each person: chance to come; 1 where it is known when they were ready; that time, or the
# time booked; 1 for whoever takes a dose; how long they stay after it.
CHANCE, KNOWN, READY_S, TAKES, STAY_S = range(5)

# Of each day.
CAME, GIVEN, WAIT_S, LONGEST_S, LATE, LAST_S, OPENED_VIALS, LEFT_OVER, WITHOUT, PEAK = range(10)
FIGURES = 10

# Of each half hour: people who got ready in it and were served, their waits, doses given.
PEOPLE, WAITS_S, DOSES_GIVEN = range(3)
BY_TIME = 3

CHAIRS, TABLES = SERVING, word(4)  # streams of a day, beside who comes


@compiled
def replayed_days(
    base: int,
    first: int,
    days: int,
    people: Values,
    lateness: Values,
    chair_law: Values,
    chairs: Values,
    draw_law: Values,
    tables: Values,
    vials: Values,
    ready: Values,
    ahead: int,
    step_s: float,
    half_s: float,
    needle_s: float,
    late_s: float,
    room: Values,
    figures: Values,
    by_time: Values,
) -> None:
    """
    Write the figures of so many days, one row each.

    Args:
        base: The seed.
        first: Number of the first day.
        days: How many.
        people: shape (people, 5), as `CHANCE` and the others say.
        lateness: Table of how long after the time booked people are ready for a chair.
        chair_law: Table of how long a person keeps a chair.
        chairs: How many there are in each step.
        draw_law: Table of how long a dose is in drawing.
        tables: How many draw in each step.
        vials: shape (2, 5), settings of `next_turn`: of the chairs, none; of the tables.
        ready: When each vial may be opened, in order.
        ahead: Doses that may lie drawn at most.
        step_s: Length of a step.
        half_s: Length of a half hour.
        needle_s: From sitting down to the dose.
        late_s: A wait that is longer breaks the promise.
        room: shape (10, people, servers and states at most).
        figures: shape (days, 10).
        by_time: shape (days, half hours * 3).
    """
    for d in range(days):
        day = word(first + d)
        row = figures[d]
        count = _who_comes(base, day, people, lateness, room[0], room[1])
        takers = NONE_YET
        for i in range(count):
            takers += int(people[int(room[1][i])][TAKES])
        _serving_times(seeded(base, day, CHAIRS), chair_law, len(people), room[2])
        _day(
            count, takers, people, chairs, seeded(base, day, TABLES), draw_law, tables, vials,
            ready, ahead, step_s, half_s, needle_s, late_s, room, row, by_time[d],
        )  # fmt: skip
        row[CAME] = count


@compiled
def _who_comes(
    base: int, day: int, people: Values, lateness: Values, came: Values, who: Values
) -> int:
    """Write when people are ready for a chair, in order, and who; return how many there are."""
    state = seeded(base, day, BOOKED)
    count = 0
    for person in range(len(people)):
        traits = people[person]
        found, state = drawn(state)
        comes = uniform(found) < traits[CHANCE]
        found, state = drawn(state)
        if comes:
            at = float(traits[READY_S])
            if traits[KNOWN] == 0.0:
                at = max(at + looked_up(lateness, found), 0.0)
            j = count
            while j > 0 and came[j - 1] > at:
                came[j] = came[j - 1]
                who[j] = who[j - 1]
                j -= 1
            came[j] = at
            who[j] = person
            count += 1
    return count


@compiled
def _serving_times(
    state: tuple[int, int, int, int], law: Values, people: int, takes: Values
) -> None:
    """Write how long each person keeps a chair, whoever comes."""
    for person in range(people):
        found, state = drawn(state)
        takes[person] = looked_up(law, found)


@compiled
def _day(
    count: int,
    takers: int,
    people: Values,
    chairs: Values,
    state: tuple[int, int, int, int],
    draw_law: Values,
    tables: Values,
    vials: Values,
    ready: Values,
    ahead: int,
    step_s: float,
    half_s: float,
    needle_s: float,
    late_s: float,
    room: Values,
    row: Values,
    by_time: Values,
) -> None:
    """Let everybody who comes sit down, one after the other, in the order of the line."""
    at_chairs, at_tables = room[3], room[4]
    _begin(at_chairs, room[5], int(chairs[0]))
    _begin(at_tables, room[6], int(tables[0]))
    done, taken = room[7], room[8]
    begun, given, gone = NONE_YET, NONE_YET, NONE_YET
    for i in range(count):
        person = int(room[1][i])
        traits = people[person]
        whole = float(room[0][i])
        takes = traits[TAKES] > 0.0
        if takes:
            while begun < min(takers, given + ahead):
                until, state = _drawn_dose(
                    begun, ahead, state, draw_law, tables, vials[1], ready, step_s, room, row
                )
                _put(done, begun, until)
                begun += 1
            if done[given] == NEVER:
                row[WITHOUT] += 1.0
                continue
            whole = max(whole, float(done[given]))
        start = next_turn(room[5], at_chairs, whole, chairs, vials[0], ready, step_s)
        at_chairs[BEFORE] = start
        busy(room[5], int(at_chairs[MANY]), start + float(room[2][person]))
        _noted(by_time, half_s, float(room[0][i]), start, late_s, row)
        if takes:
            taken[given] = start
            given += 1
            at = start + needle_s
            _given(by_time, half_s, at, row)
            gone = _observed(room[9], gone, given, at, float(traits[STAY_S]), row)
    served = count - row[WITHOUT]
    row[WAIT_S] = row[WAIT_S] / max(served, 1.0)
    row[GIVEN] = given
    row[OPENED_VIALS] = at_tables[OPENED]
    row[LEFT_OVER] += at_tables[DOSES]


@compiled
def _begin(now: Values, free: Values, many: int) -> None:
    """Set servers free from the beginning on."""
    for j in range(STATES):
        now[j] = 0.0
    now[MANY] = many
    for j in range(many):
        free[j] = 0.0


@compiled
def _drawn_dose(
    number: int,
    ahead: int,
    state: tuple[int, int, int, int],
    law: Values,
    tables: Values,
    settings: Values,
    ready: Values,
    step_s: float,
    room: Values,
    row: Values,
) -> tuple[float, tuple[int, int, int, int]]:
    """Return when a dose is drawn: a preparer is free, a vial ready, not too many lie there."""
    now = room[4]
    whole = float(room[8][number - ahead]) if number >= ahead else 0.0
    found, state = drawn(state)
    start = next_turn(room[6], now, whole, tables, settings, ready, step_s)
    if start == NEVER:
        return NEVER, state
    now[BEFORE] = start
    row[LEFT_OVER] += one_dose(now, start, settings)
    until = start + looked_up(law, found)
    busy(room[6], int(now[MANY]), until)
    return until, state


@compiled
def _given(by_time: Values, half_s: float, at: float, row: Values) -> None:
    """Count a dose in its half hour; remember when the last one was given."""
    place = min(int(at / half_s), len(by_time) // BY_TIME - 1) * BY_TIME
    by_time[place + DOSES_GIVEN] += 1.0
    row[LAST_S] = max(row[LAST_S], at)


@compiled
def _observed(
    left: Values, gone: int, seated: int, at: float, stay_s: float, row: Values
) -> int:
    """Seat one person, the last of so many, under observation; return how many have left."""
    while gone < seated - 1 and left[gone] <= at:
        gone += 1
    _put(left, seated - 1, at + stay_s)
    row[PEAK] = max(row[PEAK], seated - gone)
    return gone


@compiled
def _put(ordered: Values, count: int, at: float) -> None:
    """Put an instant in its place among so many that are in order."""
    j = count
    while j > 0 and ordered[j - 1] > at:
        ordered[j] = ordered[j - 1]
        j -= 1
    ordered[j] = at


@compiled
def _noted(
    by_time: Values, half_s: float, came: float, start: float, late_s: float, row: Values
) -> None:
    """Count one person's wait, for the day and in the half hour of getting ready."""
    wait = start - came
    row[LATE] += 1.0 if wait > late_s else 0.0
    row[WAIT_S] += wait
    row[LONGEST_S] = max(row[LONGEST_S], wait)
    place = min(int(came / half_s), len(by_time) // BY_TIME - 1) * BY_TIME
    by_time[place + PEOPLE] += 1.0
    by_time[place + WAITS_S] += wait
