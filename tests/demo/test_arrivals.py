"""Who comes to Harrowmint Hall on Tuesday, and when; every share of it is invented."""

import pytest

from thawline.demo.arrivals import HOUR_S, slots, visits
from thawline.demo.district import TUESDAY, place_named

SEED = 28
HALL = place_named("harrowmint")


@pytest.fixture(name="come", scope="module")
def _come():
    return visits(HALL, TUESDAY, SEED)


def _booked(hour):
    return sum(
        len(slot.people) for slot in slots(HALL, TUESDAY, SEED) if slot.at_s // HOUR_S == hour
    )


def test_720_people_in_eleven_hours_are_65_an_hour():
    day = slots(HALL, TUESDAY, SEED)

    assert sum(len(slot.people) for slot in day) == 720
    assert (day[0].at_s, day[-1].at_s) == (7 * HOUR_S, 17 * HOUR_S + 50 * 60)


def test_half_as_many_are_booked_over_lunch():
    assert [_booked(hour) for hour in (11, 12, 13, 14)] == [72, 36, 36, 72]


def test_about_6_in_100_of_the_booked_stay_away(come):
    booked = sum(visit.booked_s is not None for visit in come)

    assert 0.03 < 1 - booked / 720 < 0.10


def test_whoever_is_booked_twice_comes_once(come):
    assert not [visit for visit in come if visit.person.double_of]


def test_nobody_is_ready_for_a_chair_before_desk_and_questions(come):
    assert all(visit.ready_s >= max(visit.came_s, 7 * HOUR_S) + 150 for visit in come)


def test_some_come_early_and_some_late(come):
    late = [visit.came_s - visit.booked_s for visit in come if visit.booked_s is not None]

    assert min(late) < 0 < max(late)


def test_a_few_are_referred_by_the_screening(come):
    assert 0 < sum(visit.outcome == "refer" for visit in come) < 20


def test_the_day_is_the_same_whichever_day_was_asked_for_before(come):
    visits(place_named("oddmoor"), TUESDAY, SEED)

    assert visits(HALL, TUESDAY, SEED) == come
