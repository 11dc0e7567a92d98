"""
A desk of their own for people without a booking: exact, against days put together otherwise.

All figures are made up. The independent course is a plain list of free times in this file.
"""

import heapq

import numpy as np
import pytest
from tests.plan.clinic_days import day, minutes, split_day, station

from thawline.base.compiled import word
from thawline.base.errors import RecordError
from thawline.plan.arrivals_kernel import walking_in
from thawline.plan.clinic_day import ClinicStation, Line, Vials
from thawline.plan.flow import clinic_days, comers, followed_days
from thawline.plan.general_flow_kernel import LATE, PEOPLE
from thawline.plan.lines_kernel import merged
from thawline.plan.quantile_tables import constant
from thawline.plan.same_days import late_by_staffing, staffed
from thawline.plan.staffing import Promise, fewest, started

TWENTY = minutes(20)


def desks(booked=(1,), others=(1,), takes=(2, 3)):
    """Return a desk for booked people and one for the others, with constant turns."""
    return (
        ClinicStation("desk", constant(minutes(takes[0])), booked, line=Line.BOOKED),
        ClinicStation("walk-up desk", constant(minutes(takes[1])), others, line=Line.WALK_UPS),
    )


def walk_up_instants(clinic, seed, number):
    """Return when people without a booking come, as the arrivals say (tested elsewhere)."""
    room = np.zeros(500)
    _, slot_s, _, _, walk_ups, gaps = comers(clinic)
    count = walking_in(word(seed), word(number), walk_ups, slot_s, gaps, room, 0)
    return sorted(room[:count].tolist())


def line_at(came, servers, takes_s):
    """Return waits and departures of a line, first come first served, by a heap."""
    free, waits, left = [0.0] * servers, [], []
    for at in came:
        start = max(at, heapq.heappop(free))
        waits.append(start - at)
        left.append(start + takes_s)
        heapq.heappush(free, start + takes_s)
    return waits, sorted(left)


def test_booked_people_wait_at_their_desk_as_if_nobody_else_came():
    with_others = day([3, 3, 3], *desks(), station(5, name="chair"), walk_ups=(4, 4, 4))
    alone = day([3, 3, 3], station(2))

    found = clinic_days(with_others, 7, 0, 20).mean_wait_s("desk")

    assert np.array_equal(found, clinic_days(alone, 7, 0, 20).mean_wait_s("desk"))


def test_both_lines_meet_again_in_the_order_in_which_they_left_their_desks():
    clinic = day([3, 0, 3], *desks(), station(4, name="chair"), walk_ups=(3, 3, 3))
    outcome = clinic_days(clinic, 5, 0, 6)

    for number in range(6):
        came = walk_up_instants(clinic, 5, number)
        _, one = line_at([0.0] * 3 + [1200.0] * 3, 1, 120.0)
        waits, two = line_at(came, 1, 180.0)
        at_chair, _ = line_at(sorted(one + two), 1, 240.0)
        assert outcome.daily("people who came")[number] == 6 + len(came)
        assert outcome.mean_wait_s("walk-up desk")[number] == pytest.approx(
            np.mean(waits) if waits else 0
        )
        assert outcome.mean_wait_s("chair")[number] == pytest.approx(np.mean(at_chair))


def test_the_stay_counts_from_the_door_of_either_line():
    # Nobody waits: two booked and the others stay for their turns and the fifteen minutes.
    clinic = day([2], *desks((9,), (99,)), station(5, (200,), name="chair"), walk_ups=(2,))
    outcome = clinic_days(clinic, 3, 0, 30)

    others = outcome.daily("people who came") - 2
    booked_s, others_s = (2 + 5 + 15) * 60, (3 + 5 + 15) * 60
    mean = (2 * booked_s + others * others_s) / (2 + others)
    assert outcome.daily("stay in seconds") == pytest.approx(mean)


def test_stock_further_on_may_run_out_for_both():
    vials = Vials(2, minutes(600), (minutes(0),))
    chair = ClinicStation("chair", constant(minutes(1)), (9,), vials=vials)
    clinic = day([0, 4], *desks((9,), (9,)), chair)

    outcome = clinic_days(clinic, 3, 0, 2)

    assert outcome.daily("people without a dose").tolist() == [2, 2]
    # Both served came ten minutes after opening: two minutes, one minute, fifteen.
    assert outcome.daily("stay in seconds") == pytest.approx(18 * 60)


def test_staffings_of_such_a_day_have_the_bits_that_they_have_alone():
    clinic = split_day()
    staffings = [
        ((2,), (1, 2), (3, 4), (4,)), ((2,), (2,), (3, 4), (4,)), ((3,), (2,), (3,), (4, 5)),
    ]  # fmt: skip

    found = late_by_staffing(clinic, staffings, 9, (2, 3), minutes(5))

    for number, staffing in enumerate(staffings):
        outcome = followed_days(staffed(clinic, staffing), 9, (2, 3), minutes(5))
        assert np.array_equal(found.late[number], outcome.by_time[:, -1, :, LATE])
        assert np.array_equal(found.came, outcome.by_time[:, -1, :, PEOPLE])


def test_each_desk_is_staffed_for_its_own_line():
    # 240 booked an hour take one minute each; two an hour without a booking take three.
    one, two = desks(takes=(1, 3))
    clinic = day([40] * 6, one, two, walk_ups=(1 / 3,) * 6)

    *_, last = fewest(
        clinic, Promise(0.9, TWENTY), lambda c: followed_days(c, 28, (0, 40), TWENTY)
    )

    assert last.keeps
    assert max(last.day.stations[0].servers) >= 3
    assert max(last.day.stations[1].servers) == 1


def test_the_search_begins_with_each_desks_own_people():
    one, two = desks(takes=(1, 3))

    begun = started(day([40] * 6, one, two, walk_ups=(1 / 3,) * 6), Promise(0.9, TWENTY), 4)

    assert max(begun.stations[0].servers) > 4  # 240 an hour, a minute each
    assert max(begun.stations[1].servers) == 1


def test_of_two_who_leave_their_desks_at_once_the_booked_one_goes_first():
    room = np.zeros((9, 4))
    room[0, :2], room[1, :2] = (5, 7), (1, 2)
    room[3, :2], room[4, :2] = (5, 6), (3, 4)

    merged(room, 0, 2, 3, 2, 6)

    assert room[6].tolist() == [5, 5, 6, 7]
    assert room[7].tolist() == [1, 3, 4, 2]


@pytest.mark.parametrize(
    "stations",
    [
        desks()[::-1],
        desks()[:1],
        desks()[1:],
        (*desks(), *desks()[:1]),
        (station(), *desks()),
    ],
    ids=["the wrong way round", "booked alone", "others alone", "three", "later"],
)
def test_desks_apart_stand_first_and_side_by_side(stations):
    with pytest.raises(RecordError, match="stations for"):
        day([2], *stations)


def test_no_dose_is_given_at_a_desk_of_one_line():
    with pytest.raises(RecordError, match="doses for booked alone"):
        ClinicStation(
            "desk", constant(minutes(1)), (1,), vials=Vials(5, minutes(9)), line=Line.BOOKED
        )
