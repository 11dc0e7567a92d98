"""The demo's freezer and refrigerator behave as such things do; the physics is typed here."""

import numpy as np

from thawline.demo.cold_model import FREEZER, REFRIGERATOR, Happening, What, readings_of
from thawline.demo.district import dice

HOUR = 3600
EVENING_TO_MORNING = range(-6 * HOUR, 6 * HOUR, 60)


def _night(cabinet, *happenings, room_c=21.0, seed=1, times=EVENING_TO_MORNING):
    return readings_of(cabinet, room_c, happenings, times, dice(seed))


def _temps(seen):
    return np.array([each.temp_c for each in seen])


def test_an_undisturbed_freezer_stays_frozen_and_swings():
    temps = _temps(_night(FREEZER))

    assert temps.max() < -18
    assert temps.min() > -22
    assert temps.max() - temps.min() > 0.5


def test_an_undisturbed_refrigerator_stays_between_2_and_8_and_swings():
    temps = _temps(_night(REFRIGERATOR))

    assert temps.min() > 2
    assert temps.max() < 8
    assert temps.max() - temps.min() > 0.5


def test_a_compressor_runs_several_times_in_some_hours():
    temps = _temps(_night(FREEZER, seed=3))
    middle = (temps.max() + temps.min()) / 2
    crossings = np.count_nonzero(np.diff(temps > middle))

    assert 12 <= crossings <= 80  # 12 hours; a cycle of some ten minutes to two hours


def test_without_power_it_goes_where_the_room_is_and_never_beyond():
    dead = Happening(What.NO_POWER, -6 * HOUR, 300 * HOUR)
    temps = _temps(_night(FREEZER, dead, times=range(0, 200 * HOUR, HOUR)))

    assert abs(temps[-1] - 21) < 0.5
    assert temps.max() < 21.5


def test_a_failed_freezer_slows_down_as_it_warms():
    # Newton's law of cooling: each rise is smaller than the one before
    failed = Happening(What.FAILS, 0, 24 * HOUR)
    temps = _temps(_night(FREEZER, failed, times=range(0, 12 * HOUR, 3 * HOUR)))
    rises = np.diff(temps)

    assert (rises > 0).all()
    assert (np.diff(rises) < 0).all()


def test_a_door_left_open_warms_and_then_it_recovers():
    open_door = Happening(What.DOOR, 0, 300)
    temps = _temps(_night(REFRIGERATOR, open_door))
    before, during = temps[300:360].max(), temps[360:375].max()

    assert during > before + 0.5
    assert temps[-60:].max() <= before + 0.3


def test_a_defrost_is_a_hump():
    defrost = Happening(What.DEFROST, 0, 720)
    temps = _temps(_night(FREEZER, defrost))

    assert temps[360:385].max() > temps[300:360].max() + 0.5


def test_while_the_logger_is_out_nothing_is_written():
    out = Happening(What.NO_LOGGER, 0, HOUR)
    seen = _night(FREEZER, out)

    assert not [each for each in seen if 0 <= each.at_s < HOUR]
    assert len(seen) == 11 * 60


def test_the_display_has_its_steps():
    assert all(round(each.temp_c * 10, 6) % 1 == 0 for each in _night(FREEZER))


def test_the_same_seed_gives_the_same_readings():
    assert _night(FREEZER, seed=7) == _night(FREEZER, seed=7)
    assert _night(FREEZER, seed=7) != _night(FREEZER, seed=8)
