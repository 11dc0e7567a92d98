"""Days played again: by hand, by the laws of queues, and bit for bit; made-up people."""

from dataclasses import replace
from datetime import timedelta

import numpy as np
import pytest
from tests.plan.clinic_days import minutes, seconds
from tests.plan.draws import services
from tests.plan.lunch import comer, lunch
from tests.plan.simpy_replay import Hall

from thawline.base.errors import RecordError
from thawline.plan.clinic_day import Vials
from thawline.plan.quantile_tables import constant, exponential, later, lognormal
from thawline.plan.replay import joined, replayed
from thawline.plan.replay_kernel import (
    CAME,
    DOSES_GIVEN,
    GIVEN,
    LAST_S,
    LATE,
    LEFT_OVER,
    LONGEST_S,
    OPENED_VIALS,
    PEAK,
    PEOPLE,
    WAIT_S,
    WAITS_S,
    WITHOUT,
)
from thawline.plan.waiting import erlang_c

PROMISE = minutes(20)


def _one(day, promise=PROMISE):
    return replayed(day, 1, (0, 1), promise)


def _figures(day, *columns):
    found = _one(day)
    return [float(found.daily(column)[0]) for column in columns]


def test_a_day_by_hand():
    """Ready at 1, 1, 1 and 11; one chair, 10 minutes each: waits of 0, 10, 20 and 20."""
    day = lunch(1, 1, 1, 11)

    assert _figures(day, CAME, GIVEN, LONGEST_S) == [4, 4, 20 * 60]
    assert _figures(day, WAIT_S, LAST_S, PEAK) == [50 * 60 / 4, 31 * 60, 2]


def test_a_dose_that_is_not_drawn_yet_keeps_the_chair_waiting():
    """Seven minutes a dose, one ahead: doses at 7 and 14, then each begun as one is taken."""
    day = lunch(1, 1, 1, 11, draws=minutes(7), ahead=1)

    assert _figures(day, WAIT_S, LAST_S) == [(6 + 16 + 26 + 26) * 60 / 4, 37 * 60]


def test_doses_that_lie_drawn_keep_nobody_waiting():
    """Seven minutes a dose from minute 0, people from minute 30 on: four lie there at 28."""
    day = lunch(30, 30, 30, 30, takes=1, draws=minutes(7), ahead=4)

    assert _figures(day, WAIT_S) == [(0 + 1 + 2 + 3) * 60 / 4]


def test_no_more_doses_lie_drawn_than_may():
    """Two may: at 7 and 14; the third is begun at 30 and done at 37, the fourth at 44."""
    day = lunch(30, 30, 30, 30, takes=1, draws=minutes(7), ahead=2)

    assert _figures(day, WAIT_S) == [(0 + 1 + 7 + 14) * 60 / 4]


def test_of_two_tables_the_dose_that_is_done_first_is_taken_first():
    """Doses at 10 and 10, 20 and 20."""
    day = lunch(1, 1, 1, 1, takes=1, chairs=(4,), draws=minutes(10), tables=(2,), ahead=4)

    assert _figures(day, WAIT_S) == [(9 + 9 + 19 + 19) * 60 / 4]


def test_whoever_takes_no_dose_needs_none():
    """The second takes none: two doses at 7 and 14, turns at 7, 17 and 27."""
    people = (comer(1), comer(1, takes_dose=False), comer(1))
    day = lunch(people=people, draws=minutes(7), ahead=1)

    assert _figures(day, GIVEN, CAME, LEFT_OVER) == [2, 3, 8]
    assert _figures(day, WAIT_S) == [(6 + 16 + 26) * 60 / 3]


def test_chairs_close_and_open_by_the_minute():
    """Three chairs for five minutes, none from 5 to 20, one from then on; turns of 10."""
    chairs = (3,) * 5 + (0,) * 15 + (1,)
    day = lunch(1, 1, 1, 1, 1, chairs=chairs)

    assert _figures(day, LONGEST_S, WAIT_S) == [29 * 60, (0 * 3 + 19 + 29) * 60 / 5]


def test_people_wait_for_a_vial_that_is_not_ready():
    vials = Vials(2, minutes(360), (minutes(0), minutes(25)))
    day = lunch(1, 1, 1, takes=1, vials=vials, draws=minutes(1), ahead=1)

    assert _figures(day, WAIT_S, OPENED_VIALS, LEFT_OVER) == [(0 + 1 + 25) * 60 / 3, 2, 1]


def test_people_for_whom_there_is_no_vial_leave_without_a_dose():
    """Vials of two, one of them: the third and fourth leave; the fifth takes none."""
    vials = Vials(2, minutes(360), (minutes(0),))
    people = (comer(1), comer(2), comer(3), comer(4), comer(50, takes_dose=False))
    found = _one(lunch(people=people, takes=1, vials=vials, ahead=3))

    assert [found.daily(c)[0] for c in (WITHOUT, GIVEN, CAME)] == [2, 2, 5]
    assert found.by_time[0, :, PEOPLE].sum() == 3
    assert found.daily(WAIT_S)[0] == 0


def test_a_vial_is_past_its_life_at_the_end_itself():
    """Doses are drawn at 0, and as one is taken at 10: the vial of five lasts ten minutes."""
    vials = Vials(5, minutes(10), (minutes(0),) * 3)
    day = lunch(10, 20, vials=vials, ahead=1)

    assert _figures(day, OPENED_VIALS, LEFT_OVER) == [2, 4 + 4]


def test_who_waits_as_long_as_promised_is_not_late():
    day = lunch(1, 1, 1, 11)

    assert _one(day, minutes(20)).daily(LATE)[0] == 0
    assert _one(day, seconds(1199)).daily(LATE)[0] == 2


def test_half_hours_hold_who_got_ready_in_them_and_the_doses_given_in_them():
    """Turns begin at 1, 11, 21 and 31, the dose five minutes later."""
    found = _one(lunch(1, 1, 1, 11, needle=minutes(5)))

    assert found.by_time[0, :2, PEOPLE].tolist() == [4, 0]
    assert found.by_time[0, :2, WAITS_S].tolist() == [50 * 60, 0]
    assert found.by_time[0, :2, DOSES_GIVEN].tolist() == [3, 1]
    assert found.daily(LAST_S)[0] == 36 * 60


def test_a_seat_under_observation_that_is_left_in_the_same_instant_is_free():
    """From 1 to 11 and from 11 to 21; then one from 15 on, beside the second."""
    people = (comer(1, stays=10), comer(11, stays=10))

    assert _figures(lunch(people=people, takes=1), PEAK) == [1]
    assert _figures(lunch(people=(*people, comer(15)), takes=1), PEAK) == [2]


def test_people_are_served_in_the_order_in_which_they_are_ready():
    one, other = lunch(11, 1, 1, 1), lunch(1, 1, 1, 11)

    assert _one(one).figures.tolist() == _one(other).figures.tolist()


def test_who_stayed_away_comes_only_when_fewer_stay_away():
    people = tuple(comer(5 * n, due=5 * n) for n in range(20)) + tuple(
        comer(None, due=100 + n) for n in range(5)
    )
    day = lunch(people=people, stayed_away=0.2, takes=1)
    came = {
        share: replayed(replace(day, no_show=share), 1, (0, 2000), PROMISE).daily(CAME)
        for share in (None, 0.2, 0.0, 0.6, 0.1)
    }

    assert set(came[None]) == set(came[0.2]) == {20}
    assert set(came[0.0]) == {25}
    assert abs(came[0.6].mean() - 10) < 4 * (20 * 0.5 * 0.5 / 2000) ** 0.5
    assert abs(came[0.1].mean() - 22.5) < 4 * (5 * 0.5 * 0.5 / 2000) ** 0.5


def test_who_comes_though_they_had_stayed_away_is_as_late_as_the_others():
    """Booked for minute 30, ready a minute later as everybody; never before the beginning."""
    people = (comer(1, due=0), comer(None, due=30))
    day = lunch(people=people, stayed_away=0.5, no_show=0.0)
    early = replace(day, lateness=later(constant(minutes(1)), minutes(-41)))

    assert _figures(day, CAME, LAST_S) == [2, 31 * 60]
    assert _figures(early, LAST_S, LONGEST_S) == pytest.approx([10 * 60, 9 * 60], abs=0.01)


def test_whoever_comes_without_a_booking_is_no_no_show():
    people = (comer(1), comer(2, due=1))
    day = lunch(people=people, no_show=0.99)

    assert replayed(day, 1, (0, 50), PROMISE).daily(CAME).min() == 1


def test_each_person_takes_as_long_whoever_else_comes():
    """The second of three stays away: the third waits for the first alone, the same turn."""
    people = (comer(1, due=0), comer(2, due=0), comer(60, due=0), comer(60, due=0))
    day = replace(lunch(people=people), chair=lognormal(minutes(5), 0.5))
    without = replace(day, people=(people[0], comer(None, due=2), *people[2:]))
    waits = [
        replayed(each, 4, (0, 30), PROMISE).by_time[:, 2, WAITS_S] for each in (day, without)
    ]

    assert (waits[0] == waits[1]).all()
    assert len(set(waits[0])) == 30


def _queue(rate_per_min, count, seed=2, **more):
    """Return a day of so many people who come by Poisson's law, from minute 60 on."""
    gaps = np.random.default_rng(seed).exponential(1 / rate_per_min, count).cumsum() + 60
    people = tuple(comer(float(at)) for at in gaps)
    vials = Vials(count, timedelta(days=90), (minutes(0),))
    return lunch(people=people, vials=vials, ahead=count, **more)


def test_waits_at_the_chairs_are_those_of_erlang():
    """M/M/3, 120 an hour, turns of 67.5 s: waits of C(3, 2.25) * 67.5 / (3 - 2.25) s."""
    found = np.array(
        [
            replayed(
                replace(_queue(2, 5_000, seed, chairs=(3,)), chair=exponential(seconds(67.5))),
                seed, (0, 1), PROMISE,
            ).daily(WAIT_S)[0]
            for seed in range(30)
        ]
    )  # fmt: skip
    theory = erlang_c(3, 2.25) * 67.5 / (3 - 2.25)

    assert abs(found.mean() - theory) < 4 * found.std(ddof=1) / 30**0.5
    assert found.std(ddof=1) / 30**0.5 < 0.04 * theory


def test_waits_for_doses_are_those_of_a_single_preparer():
    """D/M/1 read backwards: people every 100 s, doses of 80 s by chance, one at a time.

    With none ahead but the one in hand a dose is begun as the one before is taken, so the
    n-th is taken at max(coming, taken before + drawing): Lindley's recursion, in NumPy here.
    """
    count = 4000
    people = tuple(comer(100 * n / 60) for n in range(count))
    vials = Vials(count, timedelta(days=90), (minutes(0),))
    day = lunch(people=people, vials=vials, ahead=1, takes=1, chairs=(50,))
    day = replace(day, drawing=exponential(seconds(80)), chair=constant(seconds(1)))
    found = replayed(day, 1, (0, 40), PROMISE).daily(WAIT_S)
    rng, waits = np.random.default_rng(1), []
    for _ in range(40):
        taken, total = 0.0, 0.0
        for n, draw in enumerate(rng.exponential(80, count)):
            taken = max(100.0 * n, taken + draw)
            total += taken - 100 * n
        waits.append(total / count)
    error = np.hypot(found.std(ddof=1), np.std(waits, ddof=1)) / 40**0.5

    assert abs(found.mean() - np.mean(waits)) < 4 * error


def _random_day(seed):
    """Return a day of 120 people with chairs and tables that come and go; made up."""
    rng = np.random.default_rng(seed)
    ready = np.sort(rng.uniform(10, 150, 120))
    people = tuple(
        comer(
            float(at), takes_dose=bool(rng.random() < 0.95), stays=15 * int(rng.integers(1, 3))
        )
        for at in ready
    )
    many = (3,) * 40 + (1,) * 25 + (0,) * 8 + (2,) * 30 + (5,)
    vials = Vials(10, minutes(50), tuple(minutes(float(9 * n)) for n in range(30)))
    day = lunch(
        people=people, vials=vials, chairs=many, tables=(0,) * 7 + (1,) * 30 + (2,) * 40 + (1,),
        ahead=int(rng.integers(1, 6)), needle=seconds(40),
    )  # fmt: skip
    return replace(day, chair=lognormal(seconds(85), 0.4), drawing=lognormal(seconds(55), 0.4))


@pytest.mark.parametrize("seed", range(12))
def test_simpy_plays_the_very_same_day(seed):
    """An engine driven by events, with the same random numbers: all figures to 1e-9."""
    day = _random_day(seed)
    count = len(day.people)
    turns = services(day.chair, count, 5, seed, 0)
    draws = services(day.drawing, count, 5, seed, 1)
    comers = [(each, each.ready.total_seconds()) for each in day.people]
    hall = Hall(day, comers, turns, draws)
    found = replayed(day, 5, (seed, 1), PROMISE)
    columns = (WAIT_S, LONGEST_S, LATE, LAST_S, OPENED_VIALS, LEFT_OVER, PEAK)

    assert [found.daily(column)[0] for column in columns] == pytest.approx(
        [
            sum(hall.waits) / count, max(hall.waits), sum(wait > 1200 for wait in hall.waits),
            hall.last, hall.opened, hall.wasted, hall.peak,
        ],
        rel=1e-9,
    )  # fmt: skip
    assert found.daily(WITHOUT)[0] == 0


def test_a_day_is_the_same_whichever_days_are_played_beside_it():
    day = replace(_queue(2, 300, chairs=(3,)), chair=lognormal(seconds(85), 0.4))
    whole, parts = (
        replayed(day, 7, (0, 6), PROMISE),
        [replayed(day, 7, block, PROMISE) for block in ((0, 2), (2, 4))],
    )

    assert joined(parts).figures.tobytes() == whole.figures.tobytes()
    assert joined(parts).by_time.tobytes() == whole.by_time.tobytes()
    assert (joined(parts).days, joined(parts).seed) == (6, 7)


@pytest.mark.parametrize(
    ("made", "says"),
    [
        (lambda: comer(None), "neither booked nor there"),
        (lambda: lunch(1, chairs=()), "chairs: 0 at work"),
        (lambda: lunch(1, chairs=(2, 0)), "chairs: 2 at work"),
        (lambda: lunch(1, tables=(-1, 1)), "draw tables"),
        (lambda: lunch(1, tables=(1001,)), "draw tables: 1001"),
        (lambda: lunch(1, ahead=0), "0 doses drawn ahead"),
        (lambda: lunch(people=(comer(None, due=3),)), "nobody came"),
        (lambda: replayed(lunch(1), -1, (0, 1), PROMISE), "a seed of -1"),
        (lambda: replayed(lunch(1), 2**63, (0, 1), PROMISE), "a seed of"),
    ],
)
def test_days_that_cannot_be_are_refused_by_name(made, says):
    with pytest.raises(RecordError, match=says):
        made()
