"""Clinic days: by hand, by laws, and bit for bit in every way of playing them; made up."""

from dataclasses import replace

import numpy as np
import pytest
from tests.plan.clinic_days import (
    busy_day,
    day,
    minutes,
    seconds,
    special_day,
    station,
)
from tests.plan.draws import came

from thawline.base.errors import RecordError
from thawline.plan.clinic_day import ClinicStation, Vials
from thawline.plan.flow import SEEDS, clinic_days, followed_days
from thawline.plan.flow_outcome import estimate
from thawline.plan.quantile_tables import constant, lognormal, normal

HOUR = minutes(60)
PEOPLE, WAITS, LATE, BEGUN = range(4)


def _one(clinic, promise=0):
    return followed_days(clinic, 1, (0, 1), minutes(promise))


def _waits(outcome, name="desk"):
    people = outcome.by_time[0, outcome.stations.index(name), :, PEOPLE].sum()
    return outcome.mean_wait_s(name)[0] * people / 60


def test_a_day_by_hand():
    """Three booked at 0 and one at 10; one server, 10 minutes each: the page's example."""
    found = clinic_days(day([3, 1, 0]), 1, 0, 1)

    assert found.daily("people who came")[0] == 4
    assert found.mean_wait_s("desk")[0] == (0 + 10 + 20 + 20) * 60 / 4
    assert found.longest_wait_s("desk")[0] == 20 * 60
    assert found.daily("stay in seconds")[0] == (25 + 35 + 45 + 45) * 60 / 4
    assert found.daily("finish in seconds")[0] == 55 * 60
    assert found.daily("most under observation")[0] == 2


def test_whoever_has_somebody_in_hand_finishes_before_the_break():
    """20 minutes each; the turn begun at 20 ends at 40, the next begins at 60."""
    found = _one(day([4, 0, 0], station(20, (1, 0, 1))))

    assert found.longest_wait_s("desk")[0] == 80 * 60
    assert _waits(found) == pytest.approx(0 + 20 + 60 + 80)


def test_a_turn_that_would_begin_as_the_break_begins_waits():
    found = _one(day([4, 0, 0], station(10, (1, 0, 1))))

    assert _waits(found) == pytest.approx(0 + 10 + 20 + 60)


def test_of_two_the_one_who_is_free_first_goes():
    """Turns of 20 minutes begin at 0 and 0, 20 and 20; one goes at 40, the other serves on."""
    found = _one(day([7, 0, 0], station(20, (2, 1))))

    assert _waits(found) == pytest.approx(0 + 0 + 20 + 20 + 40 + 60 + 80)


def test_who_comes_on_shift_takes_the_next_at_once():
    found = _one(day([7, 0, 0], station(20, (1, 3))))

    assert _waits(found) == pytest.approx(0 + 20 + 30 + 30 + 40 + 50 + 50)


def test_a_group_begins_when_it_is_whole_or_has_waited_long_enough():
    """Groups of 3 within 15 minutes: at 0 (three), at 10 (the fourth and two more), at 45."""
    briefing = station(5, (1,), together=3, gather=minutes(15))
    found = _one(day([4, 2, 0, 1], briefing))

    assert _waits(found) == pytest.approx(0 * 3 + 10 + 0 + 0 + 15)
    assert found.daily("finish in seconds")[0] == (45 + 5 + 15) * 60


def test_who_comes_before_a_late_beginning_still_joins_the_group():
    """The room is busy until 30: who came at 0 (the fourth), 10 and 20 begins together then."""
    found = _one(day([4, 1, 1], station(30, (1,), together=3, gather=minutes(5))))

    assert _waits(found) == pytest.approx(0 * 3 + 30 + 20 + 10)


def test_people_wait_for_the_vials_that_are_thawing():
    """Vials of two ready at 0 and 25, turns of one minute at two tables."""
    vials = Vials(2, HOUR, (minutes(0), minutes(25)))
    found = _one(day([3, 1, 0], station(1, (2,), vials=vials)))

    assert _waits(found) == pytest.approx(0 + 0 + 25 + 15)
    assert found.daily("vials opened")[0] == 2
    assert found.daily("doses wasted")[0] == found.daily("people without a dose")[0] == 0


def test_people_for_whom_no_vial_is_thawed_are_counted_and_not_served():
    vials = Vials(2, HOUR, (minutes(0),))
    found = _one(day([3, 1, 0], station(1, vials=vials), station(1, name="card")))

    assert found.daily("people without a dose")[0] == 2
    assert found.daily("people who came")[0] == 4
    assert found.by_time[0, :, :, PEOPLE].sum(axis=1).tolist() == [2, 2, 2]
    assert found.daily("stay in seconds")[0] == (17 + 18) * 60 / 2


@pytest.mark.parametrize(
    ("life", "opened", "wasted"), [(20, 2, 7), (21, 1, 2)], ids=["at its end", "just before"]
)
def test_an_opened_vial_is_past_its_life_at_the_end_itself(life, opened, wasted):
    """Doses are taken at 0, 10 and 20 from vials of five."""
    vials = Vials(5, minutes(life))
    found = _one(day([1, 1, 1], station(1, vials=vials)))

    assert found.daily("vials opened")[0] == opened
    assert found.daily("doses wasted")[0] == wasted


def test_every_dose_opened_is_given_or_wasted():
    found = clinic_days(special_day(), 3, 0, 50)
    given = found.daily("people who came") - found.daily("people without a dose")

    assert (10 * found.daily("vials opened") == given + found.daily("doses wasted")).all()
    assert found.daily("people without a dose").max() > 0


def test_waste_at_one_table_is_that_of_the_closed_form():
    """Methods table A7: 240 booked, 8 % no-show, vials of ten: 4.575819 doses a day."""
    vials = Vials(10, HOUR * 24)
    clinic = day([24] * 10, station(1, (9,), vials=vials), no_show=0.08)
    found = estimate(clinic_days(clinic, 1, 0, 8000).daily("doses wasted"))

    assert abs(found.mean - 4.575819) < 4 * found.error


def test_waits_longer_than_promised_are_counted_where_and_when_people_came():
    """Waits of 0, 10, 20 and 20 minutes at the desk, none at the second station."""
    found = _one(day([3, 1, 0], station(), station(1, name="card")), promise=10)

    assert found.by_time[0, :, :, LATE].sum(axis=1).tolist() == [2, 0, 2]
    assert found.by_time[0, 0, :2, PEOPLE].tolist() == [4, 0]
    assert found.by_time[0, 0, :2, BEGUN].tolist() == [3, 1]
    assert found.by_time[0, 1, :2, PEOPLE].tolist() == [2, 2]


def test_the_share_of_long_waits_is_told_for_a_station_and_for_all_together():
    """Waits of 0, 10, 20 and 20 minutes; of four people two wait longer than ten."""
    found = _one(day([3, 1, 0], station(), station(1, name="card")), promise=10)

    assert found.late_shares("desk")[0] == found.late_shares()[0] == 0.5
    assert found.late_shares("card")[0] == 0
    assert _one(day([0])).late_shares()[0] == 0


def test_long_waits_cannot_be_told_of_days_on_which_nobody_was_followed():
    with pytest.raises(RecordError, match="not counted"):
        clinic_days(day([1]), 1, 0, 1).late_shares()


def test_chairs_are_counted_by_the_half_hour():
    """Seen from minutes 10, 20, 30 and 40, each for 35 minutes."""
    found = _one(day([3, 1, 0], stay=35))

    assert found.peaks[0, :3].tolist() == [2, 4, 2]


def test_a_chair_that_is_left_in_the_same_instant_is_free():
    """Seen from minutes 10, 20 and 30, each for ten minutes: one chair is enough."""
    clinic = day([1, 1, 1], stay=10)

    assert clinic_days(clinic, 1, 0, 1).daily("most under observation")[0] == 1
    assert _one(clinic).daily("most under observation")[0] == 1


def test_who_sits_down_for_no_time_takes_a_chair_all_the_same():
    clinic = day([1, 1, 1], stay=0)

    assert clinic_days(clinic, 1, 0, 1).daily("most under observation")[0] == 1
    assert _one(clinic).daily("most under observation")[0] == 1


def test_chairs_still_taken_at_the_half_hour_count_in_it():
    """One sits from 10 to 70, another comes at 130."""
    found = _one(day([1, *[0] * 11, 1], stay=60))

    assert found.peaks[0, :7].tolist() == [1, 1, 1, 0, 1, 1, 1]


def test_walk_ups_come_as_often_as_said_and_at_any_time_of_their_slot():
    """Poisson's law: mean and variance 24; places in the slot uniform."""
    clinic = day([0] * 6, station(1, (9,)), walk_ups=(4.0,) * 6)
    many = clinic_days(clinic, 1, 0, 4000).daily("people who came")
    places = np.array([at % 600 / 600 for n in range(300) for at in came(clinic, 1, n)])

    assert abs(many.mean() - 24) < 4 * (24 / 4000) ** 0.5
    assert many.var() == pytest.approx(24, rel=4 * (2 / 4000) ** 0.5)
    assert abs(places.mean() - 0.5) < 4 * (1 / 12 / len(places)) ** 0.5


def test_bookings_keep_who_stays_away_and_how_late_they_are():
    """8 % of 600; how late: mean -5 minutes, away from the opening."""
    clinic = busy_day(walk_ups=())
    many = clinic_days(clinic, 1, 0, 3000).daily("people who came")

    assert abs(many.mean() - 552) < 4 * (600 * 0.08 * 0.92 / 3000) ** 0.5
    assert many.var() == pytest.approx(600 * 0.08 * 0.92, rel=4 * (2 / 3000) ** 0.5)


def test_nobody_enters_before_opening():
    early = day([5], punctuality=normal(minutes(-30), minutes(1)))

    assert came(early, 1, 0) == [0.0] * 5


def test_people_come_in_order_however_late_they_are():
    clinic = busy_day(punctuality=normal(minutes(0), minutes(200)))
    found = came(clinic, 2, 5)

    assert found == sorted(found)
    assert max(found) > 41 * 600


def test_the_plain_path_and_the_one_that_follows_people_have_the_same_bits():
    clinic = busy_day()
    plain, followed = clinic_days(clinic, 4, 0, 30), followed_days(clinic, 4, (0, 30), HOUR)

    assert plain.figures.tobytes() == followed.figures.tobytes()


def test_a_day_is_the_same_whichever_days_are_played_beside_it():
    together, alone = clinic_days(busy_day(), 4, 0, 9), clinic_days(busy_day(), 4, 6, 2)

    assert together.figures[6:8].tobytes() == alone.figures.tobytes()


def test_the_same_people_come_whoever_serves():
    more = tuple(replace(s, servers=(9,)) for s in busy_day().stations)
    before, after = (
        clinic_days(clinic, 4, 0, 40) for clinic in (busy_day(), busy_day(stations=more))
    )

    assert (before.daily("people who came") == after.daily("people who came")).all()
    assert (before.mean_wait_s("desk") > after.mean_wait_s("desk")).all()


def test_one_more_server_at_any_time_lets_nobody_wait_longer():
    """In line order, first come first served: each start is no later (any text on queues)."""
    fewer = ClinicStation("desk", lognormal(seconds(100), 0.9), (2, 2, 1, 2, 3, 2))
    more = replace(fewer, servers=(2, 3, 1, 2, 3, 2))
    found = [clinic_days(busy_day(stations=(s,)), 6, 0, 60) for s in (fewer, more)]

    assert (found[0].longest_wait_s("desk") >= found[1].longest_wait_s("desk")).all()
    assert (found[0].mean_wait_s("desk") > found[1].mean_wait_s("desk")).all()


def test_nobody_at_all_is_a_day_too():
    found = clinic_days(day([0, 0]), 1, 0, 2)

    assert not found.figures.any()
    assert not _one(day([0], station(1, vials=Vials(5, HOUR)))).figures.any()


TAKES = constant(minutes(1))


@pytest.mark.parametrize(
    ("made", "says"),
    [
        (lambda: ClinicStation("desk", TAKES, ()), "desk: nobody serves"),
        (lambda: ClinicStation("desk", TAKES, (0,)), "desk: nobody serves"),
        (lambda: ClinicStation("desk", TAKES, (2, 0)), "desk: nobody serves at the end"),
        (lambda: ClinicStation("desk", TAKES, (-1, 2)), "desk: -1 serving"),
        (lambda: ClinicStation("desk", TAKES, (1001,)), "desk: 1001 serving"),
        (lambda: station(together=0), "groups of 0"),
        (lambda: station(together=2, gather=minutes(-1)), "groups of 2"),
        (lambda: station(together=2, vials=Vials(5, HOUR)), "a whole group"),
        (lambda: Vials(0, HOUR), "0 doses"),
        (lambda: Vials(5, minutes(0)), "lasts 0 s"),
        (lambda: Vials(5, HOUR, (minutes(2), minutes(1))), "out of order"),
        (lambda: replace(day([1]), stations=()), "without stations"),
        (lambda: day([1], *[station(vials=Vials(5, HOUR))] * 2), "at two stations"),
        (lambda: replace(day([1]), stays=()), "stays are not 100 %"),
        (lambda: day([]), "without slots"),
        (lambda: day([1], slot=0), "without slots"),
        (lambda: day([1], no_show=1.0), "a no-show of 100%"),
        (lambda: day([1], no_show=-0.1), "a no-show of -10%"),
        (lambda: day([1, -1]), "fewer than no people"),
        (lambda: day([1], walk_ups=(float("nan"),)), "fewer than no people"),
        (lambda: day([1, 1], walk_ups=(1.0,)), "walk-ups of 1 slots"),
        (lambda: day([100_001]), "100001 people"),
        (lambda: clinic_days(day([1]), -1, 0, 1), "a seed of -1"),
        (lambda: clinic_days(day([1]), SEEDS, 0, 1), "a seed of"),
        (lambda: clinic_days(day([1]), 1, 0, 0), "0 days"),
        (lambda: followed_days(day([1]), 1, (-1, 2), HOUR), "day -1"),
    ],
)
def test_days_that_cannot_be_are_refused_by_name(made, says):
    with pytest.raises(RecordError, match=says):
        made()
