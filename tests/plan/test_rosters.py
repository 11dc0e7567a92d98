"""Rosters that differ a little from one: counted by hand; all made up."""

from itertools import islice

from thawline.plan.rosters import people_in, roster_of, rosters, serving, shifts_of
from thawline.plan.shifts import Shift, ShiftRule

RULE = ShiftRule(length=4, pause_from=1, pause_until=2)
DESK = (Shift(2, 0, 4, 1), Shift(1, 0, 4, 2))
CHAIR = (Shift(1, 0, 4, None),)
START = roster_of([DESK, CHAIR])


def test_a_roster_lists_each_person_and_gives_the_shifts_back():
    assert START == (((0, 4, 1), (0, 4, 1), (0, 4, 2)), ((0, 4, None),))
    assert shifts_of(START[0]) == DESK
    assert people_in(START) == 4


def test_nobody_serves_in_their_break():
    assert serving(START, 5) == ((3, 1, 2, 3, 0), (1, 1, 1, 1, 0))


def test_the_roster_itself_comes_first_and_fewer_people_next():
    first = [people_in(each) for each in islice(rosters(START, RULE, 4), 3)]

    assert first[0] == 4
    assert first[1] == 3


def test_every_roster_comes_once_with_somebody_everywhere():
    found = list(rosters(START, RULE, 4))

    assert len(found) == len(set(found))
    assert all(min(each) > 0 for roster in found for each in serving(roster, 4))


def test_one_change_counted_by_hand():
    # Two at the desk in a day of two half hours, no breaks, nobody may be moved in time. One of
    # the two may be left out or go to the chair; the one at the chair may do neither.
    start = roster_of([(Shift(2, 0, 2, None),), (Shift(1, 0, 2, None),)])
    turn = (0, 2, None)

    found = list(rosters(start, ShiftRule(2, 1, 1), 2))

    # Two changes: the chair's goes to the desk, one of the desk's to the chair: as before; with
    # the other left out besides it is one change again.
    assert found == [
        start,
        ((turn,), (turn,)),
        ((turn,), (turn, turn)),
    ]


def test_shifts_and_breaks_move_by_half_an_hour_within_the_day_and_the_rule():
    start = roster_of([(Shift(2, 0, 3, 1), Shift(1, 0, 4, None))])

    found = {roster[0] for roster in rosters(start, ShiftRule(3, 1, 2), 4)}

    assert ((0, 3, 1), (0, 4, None), (1, 4, 2)) in found  # one shift later
    assert ((0, 3, 1), (0, 3, 2), (0, 4, None)) in found  # one break later
    assert not any(turn[0] < 0 or turn[1] > 4 for turns in found for turn in turns)
