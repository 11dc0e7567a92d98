"""At least and at most hold for any course that fits, and cannot be narrower."""

import pytest
from tests.store.courses import generated, time_out
from tests.store.records import FRIDGE, MINUTE, at, every, record

from thawline.store.bounds import Window, bounds
from thawline.store.exposure import Question, exposure
from thawline.store.readings import readings
from thawline.store.tidy import tidied

ACCURACY = 500
SIDES = (FRIDGE.above, FRIDGE.below)
SLACK_MS = 1e-3  # of the straight lines of the truth, which are floating point


@pytest.mark.parametrize("seed", range(300))
def test_the_true_time_out_lies_between_at_least_and_at_most(seed):
    made = generated(seed, ACCURACY)
    tidy = tidied(made.raw, made.interval_ms)

    true = time_out(made.course, FRIDGE.high_mc, FRIDGE.low_mc)

    for limit, out_ms in zip(SIDES, true, strict=True):
        found = bounds(tidy, limit, ACCURACY)
        assert found.at_least_ms - SLACK_MS <= out_ms <= found.at_most_ms + SLACK_MS


def extremal(tidy, limit, side, sign):
    """
    Return a course that fits and is out as long (sign 1) or as short (-1) as it can be.

    Each true value is as far out, or as far in, as the accuracy allows; between two readings
    the course jumps within a millisecond to the longer (shorter) end and stays there; a gap is
    out (in) all the way but for a millisecond at each end.
    """
    outwards = 1 if side == "above" else -1
    times = tidy.settled.at_ms.tolist()
    truth = [temp + sign * outwards * ACCURACY for temp in tidy.settled.warmest_mc.tolist()]
    far = limit + sign * outwards * 20_000
    gaps = {gap.from_ms for gap in tidy.gaps}
    pick = max if sign * outwards > 0 else min
    course = []
    for place, (when, temp) in enumerate(zip(times, truth, strict=True)):
        course.append((when, temp))
        if place + 1 < len(times):
            level = far if when in gaps else pick(temp, truth[place + 1])
            course += [(when + 1, level), (times[place + 1] - 1, level)]
    return course


@pytest.mark.parametrize("seed", range(40))
@pytest.mark.parametrize("sign", [1, -1], ids=["as long as it can", "as short as it can"])
def test_the_bounds_cannot_be_narrower(seed, sign):
    made = generated(seed, ACCURACY)
    tidy = tidied(made.raw, made.interval_ms)

    for side, limit in zip(("above", "below"), SIDES, strict=True):
        course = extremal(tidy, limit.at_mc, side, sign)
        out_ms = time_out(course, FRIDGE.high_mc, FRIDGE.low_mc)[SIDES.index(limit)]
        found = bounds(tidy, limit, ACCURACY)
        end = found.at_most_ms if sign > 0 else found.at_least_ms
        # Two milliseconds a step are spent on the jumps.
        assert out_ms == pytest.approx(end, abs=2 * len(tidy.settled))


@pytest.mark.parametrize("seed", range(300))
def test_both_ways_of_adding_up_agree(seed):
    made = generated(seed, ACCURACY)
    tidy = tidied(made.raw, made.interval_ms)
    whole = exposure(tidy, Question(FRIDGE, ACCURACY))

    for limit, totals in zip(SIDES, (whole.above, whole.below), strict=True):
        found = bounds(tidy, limit, ACCURACY)
        assert (found.at_least_ms, found.conservative_ms, found.at_most_ms) == (
            totals.at_least_ms,
            totals.conservative_ms,
            totals.at_most_ms,
        )
        assert found.unknown_ms == whole.unknown_ms


def test_a_reading_off_by_just_the_accuracy_may_have_been_on_the_limit():
    """8.5 °C read with half a degree may have been 8.0, which is in; 7.5 cannot be out."""
    edge = bounds(tidied(every(10, "8.5 8.5 5.0")), FRIDGE.above, ACCURACY)
    inside = bounds(tidied(every(10, "7.5 7.5")), FRIDGE.above, ACCURACY)

    assert (edge.at_least_ms, edge.at_most_ms) == (0, 20 * MINUTE)
    assert inside.at_most_ms == 0


def test_a_stay_counts_only_its_own_time():
    tidy = tidied(every(10, "5.0 9.0 9.0 9.0 5.0"))

    found = bounds(tidy, FRIDGE.above, 0, Window(at("00:15"), at("00:25")))

    assert (found.at_least_ms, found.conservative_ms, found.at_most_ms) == (10 * MINUTE,) * 3
    assert found.unknown_ms == 0


def test_a_stay_that_began_before_the_record_has_unknown_time():
    tidy = tidied(every(10, "5.0 5.0 5.0", "08:00"))

    found = bounds(tidy, FRIDGE.above, 0, Window(at("07:00"), at("09:00")))

    assert (found.at_least_ms, found.at_most_ms) == (0, 100 * MINUTE)
    assert found.unknown_ms == 100 * MINUTE


def test_vials_moved_away_in_a_warm_spell_have_the_bounds_of_their_stay():
    """Incident 9 of the demo, in a file that goes on: the vials were moved at 03:50."""
    tidy = tidied(
        readings(
            [at("00:55"), at("01:00"), *range(at("02:55"), at("04:30"), 5 * MINUTE)],
            [5_000, 5_100, *[9_400] * 13, *[6_000] * 6],
        )
    )

    found = bounds(tidy, FRIDGE.above, ACCURACY, Window(at("00:55"), at("03:50")))

    assert (found.at_least_ms, found.at_most_ms) == (55 * MINUTE, 170 * MINUTE)


def test_a_record_without_a_step_tells_nothing_of_a_stay():
    found = bounds(
        tidied(record("08:00 5.0")), FRIDGE.below, 0, Window(at("07:00"), at("09:00"))
    )

    assert (found.at_least_ms, found.at_most_ms, found.unknown_ms) == (
        0,
        120 * MINUTE,
        120 * MINUTE,
    )
