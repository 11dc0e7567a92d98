"""
The time left of a warming freezer or refrigerator.

The truth of each simulated warming is the exact solution of Newton's law of cooling,
t = tau ln((T_amb - T0) / (T_amb - limit)), typed here and worked by hand where a number stands;
SciPy's own curve fitting is a second opinion on the fit.
"""

from datetime import timedelta

import numpy as np
import pytest
from scipy.optimize import curve_fit
from scipy.stats import binom
from tests.store.warming_rooms import BEGINS_MS, MINUTE_MS, exactly_reached, warmed

from thawline.base.errors import RecordError
from thawline.base.instants import from_ms
from thawline.demo.cold_model import FREEZER as FREEZER_MODEL
from thawline.demo.cold_model import Happening, What, readings_of
from thawline.demo.district import dice
from thawline.rules.cold import Side
from thawline.store.first_order import SHARE, Warmed, crossing
from thawline.store.limits import Limits
from thawline.store.readings import readings
from thawline.store.warming import Verdict, WarmingQuestion, hold_over, warming

FREEZER = WarmingQuestion(limits=Limits(-50_000, -15_000))
FRIDGE = WarmingQuestion(limits=Limits(2_000, 8_000))


def _minutes(at):
    return (at - from_ms(BEGINS_MS)) / timedelta(minutes=1)


def _seen(*degrees, every=5):
    at_ms = [BEGINS_MS + n * every * MINUTE_MS for n in range(len(degrees))]
    return readings(at_ms, [round(1000 * each) for each in degrees])


# --- the exact solution, by hand ---


def test_a_freezer_of_tau_10_h_has_80_min_from_minus_20_to_minus_15_at_20_degrees():
    # 600 ln(40 / 35) = 600 x 0.133531 = 80.12 minutes, worked by hand
    found = warming(warmed(20, -20, 600, range(0, 61, 2), step=0.001), FREEZER)

    assert found.verdict is Verdict.WARMING
    assert found.left.side is Side.ABOVE
    assert 77 <= _minutes(found.left.earliest) <= 80.12 <= _minutes(found.left.latest) <= 82


def test_a_refrigerator_of_tau_5_h_has_76_min_from_4_to_8_at_22_degrees():
    # 300 ln(18 / 14) = 300 x 0.251314 = 75.39 minutes, worked by hand
    asked = WarmingQuestion(limits=Limits(2_000, 8_000), ambient_c=22.0)
    found = warming(warmed(22, 4, 300, range(0, 41, 2), step=0.01), asked)

    assert 70 <= _minutes(found.left.earliest) <= 75.39 <= _minutes(found.left.latest) <= 77


def test_the_fit_is_the_one_that_scipy_finds():
    minutes = np.arange(0, 121, 5.0)
    record = warmed(20, -20, 500, minutes, noise=0.05, step=0.01, seed=4)
    degrees = record.temp_mc / 1000

    def curve(t, ambient, begins, tau):
        return ambient + (begins - ambient) * np.exp(-t / tau)

    best, _ = curve_fit(curve, minutes, degrees, p0=(10, -20, 300), maxfev=20_000)
    theirs = exactly_reached(best[0], best[1], best[2], -10)
    ours = crossing(Warmed(minutes, degrees, 0.01), -10.0, -10.0)

    assert ours.earliest <= theirs <= ours.latest


def test_the_first_order_range_alone_is_as_narrow_as_its_readings():
    minutes = np.arange(0, 61, 2.0)
    degrees = 20 - 40 * np.exp(-minutes / 600)
    met = crossing(Warmed(minutes, degrees, 0.001), -15.0, -15.0)

    assert 80.0 <= met.earliest <= 80.119 <= met.latest <= 80.3


# --- a range holds the true crossing as often as it says ---

ROOMS = {
    "freezer read each minute": (20, -20, 600, -15, 1, 0.05, 0.1, 0.5),
    "freezer read each 5 min": (20, -20, 1800, -15, 5, 0.1, 0.1, 0.5),
    "freezer shown in half degrees": (20, -22, 1800, -15, 5, 0.02, 0.5, 0.6),
    "fridge read each 2 min": (22, 4, 300, 8, 2, 0.05, 0.1, 0.6),
    "fridge shown in whole degrees": (22, 3, 1500, 8, 5, 0.1, 1.0, 0.7),
    "noisy fridge": (22, 4, 900, 8, 5, 0.3, 0.1, 0.7),
}
SEEDS = 200
ONE_IN_A_THOUSAND = 0.001


@pytest.mark.slow
@pytest.mark.parametrize("given", [False, True], ids=["ambient not known", "ambient given"])
@pytest.mark.parametrize("room", ROOMS.values(), ids=ROOMS.keys())
def test_the_range_holds_the_true_crossing_as_often_as_it_says(room, given):
    ambient, begins, tau, limit, every, noise, step, share = room
    true = exactly_reached(ambient, begins, tau, limit)
    minutes = np.arange(0, share * true, every)
    asked = WarmingQuestion(
        limits=Limits(-50_000, limit * 1000), ambient_c=float(ambient) if given else None
    )

    held = asked_for = 0
    for seed in range(SEEDS):
        left = warming(
            warmed(ambient, begins, tau, minutes, noise=noise, step=step, seed=seed), asked
        ).left
        early = left and left.earliest and _minutes(left.earliest)
        late = left and left.latest and _minutes(left.latest)
        asked_for += left is not None
        held += early is not None and early <= true <= (late or np.inf)

    assert asked_for >= 0.9 * SEEDS
    # as few as this in one of a thousand such tests, were the share exactly as stated
    assert held >= binom.ppf(ONE_IN_A_THOUSAND, asked_for, SHARE)


def test_a_logger_that_is_off_by_less_than_it_may_be_is_inside_the_range():
    true = exactly_reached(20, -20, 600, -15)
    asked = WarmingQuestion(limits=Limits(-50_000, -15_000), accuracy_mc=500)
    for off in (-500, 500):
        record = warmed(20, -20, 600, range(0, 50, 2), noise=0.02, seed=2)
        found = warming(readings(record.at_ms, record.temp_mc + off), asked)

        assert _minutes(found.left.earliest) <= true <= _minutes(found.left.latest)


def test_the_ambient_temperature_makes_the_range_narrower():
    record = warmed(20, -20, 600, range(0, 41, 5), noise=0.05, seed=5)
    without = warming(record, FREEZER).left
    asked = WarmingQuestion(limits=Limits(-50_000, -15_000), ambient_c=20.0)
    given = warming(record, asked).left

    assert given.latest < without.latest or without.latest is None
    assert given.earliest >= without.earliest


def test_air_that_warms_fast_at_first_never_moves_inspect_by_to_later():
    # two bodies, one after the other: air in 15 min, what stands in it in 20 h
    minutes = np.arange(0, 200)
    true = 20 - 2 * np.exp(-minutes / 15) - 38 * np.exp(-minutes / 1200)
    reached = int(np.flatnonzero(true >= -15)[0])
    for seen in range(20, reached - 5, 10):
        at_ms = BEGINS_MS + minutes[:seen] * MINUTE_MS
        found = warming(readings(at_ms, np.round(true[:seen], 1) * 1000), FREEZER)

        assert _minutes(found.left.earliest) <= reached, seen


def test_inspect_by_never_comes_too_late_for_a_freezer_that_fails():
    """The demo's physical freezer, with cycles before the failure: asked at each reading."""
    for seed in range(8):
        failed = Happening(What.FAILS, 300, 36_000)
        seen = readings_of(FREEZER_MODEL, 21, [failed], range(-18_000, 14_400, 300), dice(seed))
        minutes = np.array([each.at_s // 60 for each in seen])
        record = readings(BEGINS_MS + minutes * MINUTE_MS, [1000 * s.temp_c for s in seen])
        reached = minutes[np.flatnonzero(record.temp_mc > -15_000)[0]]
        for number in np.flatnonzero((minutes >= 20) & (minutes < reached)):
            part = readings(record.at_ms[: number + 1], record.temp_mc[: number + 1])
            found = warming(part, FREEZER)

            if found.verdict is Verdict.WARMING:  # else nothing is promised
                assert _minutes(found.left.earliest) <= reached, (seed, number)


def test_a_rise_that_levels_off_below_the_limit_is_perhaps_never_at_it():
    minutes = np.arange(0, 91, 3.0)
    degrees = np.round(-15.6 - 4.4 * np.exp(-minutes / 45), 2)
    met = crossing(Warmed(minutes, degrees, 0.01), -15.7, -15.0)

    assert met is not None
    assert met.latest == np.inf


# --- what cannot be told is said ---


def test_four_readings_are_too_few_and_the_answer_says_so():
    found = warming(_seen(-20, -19.5, -19, -18.5), FREEZER)

    assert found.verdict is Verdict.TOO_LITTLE
    assert found.why == "4 readings since it turned, and 5 are needed"
    assert found.left.latest is None


def test_a_rise_that_still_gets_faster_is_too_little_to_tell():
    found = warming(_seen(-20, -19.9, -19.6, -19.1, -18.4, -17.5), FREEZER)

    assert found.verdict is Verdict.TOO_LITTLE
    assert found.why == "it is still getting faster"


def test_what_holds_its_temperature_is_not_warming():
    found = warming(_seen(5, 5.1, 5, 4.9, 5, 5.1, 5, 5, 4.9, 5), FRIDGE)

    assert found.verdict is Verdict.STEADY
    assert found.left is None


def test_one_reading_says_nothing():
    assert warming(_seen(5), FRIDGE).verdict is Verdict.TOO_LITTLE


def test_a_record_without_readings_is_refused():
    with pytest.raises(RecordError, match="no readings"):
        warming(readings([], []), FRIDGE)


def test_out_already_is_said_since_between_which_readings():
    found = warming(_seen(7, 7.6, 8.0, 8.1, 8.4), FRIDGE)

    assert found.verdict is Verdict.OUT
    assert _minutes(found.out_after) == 10  # exactly 8.0 is still in band
    assert _minutes(found.out_from) == 15


def test_a_record_that_was_never_in_band_does_not_say_after_what():
    found = warming(_seen(9, 9.1), FRIDGE)

    assert found.out_after is None
    assert _minutes(found.out_from) == 0


def test_a_gap_ends_the_stretch():
    before = _seen(-20, -19, -18, -17, -16)
    at_ms = np.append(before.at_ms, before.at_ms[-1] + 60 * MINUTE_MS)
    found = warming(readings(at_ms, np.append(before.temp_mc, -15_500)), FREEZER)

    assert found.looked_at == 1
    assert found.verdict is Verdict.TOO_LITTLE


def test_an_ordinary_cycle_is_said_to_go_no_further_than_before():
    cycle = [4, 4.4, 4.8, 5.2, 5.6, 5.0, 4.4]
    found = warming(_seen(*cycle, *cycle, 4, 4.4, 4.8, 5.1, 5.4), FRIDGE)

    assert found.within_swing
    assert found.left is not None


def test_a_refrigerator_that_cools_is_asked_for_its_lower_limit():
    minutes = np.arange(0, 40, 2)
    true = -5 + 10 * np.exp(-minutes / 200)  # at 2 degrees after 200 ln(10 / 7) = 71.3 minutes
    at_ms = BEGINS_MS + minutes * MINUTE_MS
    found = warming(readings(at_ms, np.round(true * 1000)), FRIDGE)

    assert found.verdict is Verdict.COOLING
    assert found.left.side is Side.BELOW
    assert 65 <= _minutes(found.left.earliest) <= 71.3 <= _minutes(found.left.latest) <= 74


def test_of_two_readings_at_one_instant_the_worse_counts():
    found = warming(readings([BEGINS_MS, BEGINS_MS], [8_100, 5_000]), FRIDGE)

    assert found.verdict is Verdict.OUT


# --- hold-over after a power cut ---


def test_nothing_before_the_cut_counts_for_the_hold_over():
    record = warmed(20, -20, 600, range(0, 61, 2), step=0.001)
    cut = from_ms(BEGINS_MS + 20 * MINUTE_MS)
    found = hold_over(record, cut, FREEZER)

    assert found.since == cut
    assert 77 <= _minutes(found.left.earliest) <= 80.12 <= _minutes(found.left.latest) <= 83


def test_no_reading_since_the_cut_is_refused_with_what_to_look_at():
    with pytest.raises(RecordError, match="no reading since") as refused:
        hold_over(_seen(-20, -20), from_ms(BEGINS_MS + 6 * MINUTE_MS), FREEZER)

    assert "display" in refused.value.advice
