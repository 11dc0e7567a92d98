"""
The fewest people for a promise: against closed forms, and by trying to take one away.

All invented but the service level of 10 Erlang, which is of the project's methods notes, A1.
"""

import math
from datetime import timedelta
from itertools import pairwise

import pytest
from scipy.integrate import solve_ivp

from thawline.base.errors import RecordError
from thawline.plan import staffing
from thawline.plan.chairs import Stay
from thawline.plan.clinic_day import ClinicDay, ClinicStation
from thawline.plan.flow import followed_days
from thawline.plan.quantile_tables import lognormal, normal
from thawline.plan.staffing import (
    LEAST_DAYS,
    Promise,
    fewest,
    kept,
    least_serving,
    offered,
)

TWENTY = timedelta(minutes=20)
NINE = Promise(0.9, TWENTY)


def a_day(bookings=(8,) * 12, chair_s=150, **others):
    """Return two hours of bookings, a desk and a chair, one person at each."""
    stations = (
        ClinicStation("desk", lognormal(timedelta(seconds=60), 0.5), (1,)),
        ClinicStation("chair", lognormal(timedelta(seconds=chair_s), 0.5), (1,)),
    )
    return ClinicDay(
        bookings=bookings,
        slot=timedelta(minutes=10),
        no_show=0.1,
        punctuality=normal(timedelta(0), timedelta(0)),
        stations=stations,
        stays=(Stay(timedelta(minutes=15), 1.0),),
        **others,
    )


def played(day):
    return followed_days(day, 28, (0, 60), TWENTY)


def servers(found):
    return [station.servers for station in found.day.stations]


def test_the_offered_load_follows_its_differential_equation():
    people, service_s = [20, 40, 10], 300.0

    loads = offered(people, timedelta(seconds=service_s))

    def change(at_s, load):
        return people[min(int(at_s // 1800), 2)] / 1800 - load / service_s

    course = solve_ivp(change, (0, 5400), [0.0], max_step=5, rtol=1e-8, dense_output=True)
    ends = [float(course.sol(1800 * n)[0]) for n in range(4)]
    peaks = [max(pair) for pair in pairwise(ends)]
    assert loads == pytest.approx(peaks, abs=2e-2)


def test_erlang_asks_for_thirteen_where_the_worked_example_does():
    # 10 Erlang, 180 s, within 20 s: 13 give 79.56 % (methods notes, A1), so 80 % takes 14.
    within = timedelta(seconds=20)

    assert least_serving(10, 180, Promise(0.795, within)) == 13
    assert least_serving(10, 180, Promise(0.80, within)) == 14


def test_the_answer_keeps_the_promise_in_every_half_hour():
    *_, last = fewest(a_day(), NINE, played)

    assert last.keeps
    assert all(math.isnan(late) or late <= 0.1 for late in last.late)


def test_nobody_can_be_taken_away_at_the_last_station_for_half_an_hour():
    *_, last = fewest(a_day(), NINE, played)

    fewer = [staffing._one_less(last.day, 1, half) for half in range(len(servers(last)[1]))]

    assert not any(kept(day, NINE, played).keeps for day in fewer if day is not None)


def test_a_stricter_promise_never_needs_fewer():
    *_, easy = fewest(a_day(), NINE, played)
    *_, strict = fewest(a_day(), Promise(0.9, timedelta(minutes=5)), played)

    assert strict.half_hours_of_work >= easy.half_hours_of_work


def test_a_promise_that_nobody_can_keep_says_so(monkeypatch):
    monkeypatch.setattr(staffing, "MOST_EACH", 3)
    crowd = a_day(bookings=(200,), chair_s=600)

    *_, last = fewest(crowd, NINE, played)

    assert not last.keeps
    assert max(late for late in last.late if not math.isnan(late)) > 0.1


@pytest.mark.parametrize("share", [0, 1, 1.5, math.nan])
def test_a_promise_to_nobody_or_to_all_is_refused(share):
    with pytest.raises(RecordError, match="a promise to"):
        Promise(share, TWENTY)


def test_a_wait_of_no_time_is_refused():
    with pytest.raises(RecordError, match="a wait of 0 min"):
        Promise(0.9, timedelta(0))


def test_walk_ups_are_staffed_for_too():
    *_, booked = fewest(a_day(), NINE, played)
    *_, more = fewest(a_day(walk_ups=(6.0,) * 12), NINE, played)

    assert more.half_hours_of_work > booked.half_hours_of_work


def test_a_plan_found_on_the_fewest_days_keeps_the_promise_on_others():
    """240 booked over six hours; on 4,000 days that the search never saw."""
    day = a_day((7, 7, 6) * 12)

    def played(first, days):
        return lambda staffed: followed_days(staffed, 28, (first, days), TWENTY)

    *_, found = fewest(day, NINE, played(0, LEAST_DAYS))
    others = kept(found.day, NINE, played(LEAST_DAYS, 4000))

    assert found.keeps
    assert others.keeps
