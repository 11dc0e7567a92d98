"""How long it was out, by hand: the example of docs/background/exposure.md and its edges."""

from decimal import Decimal
from fractions import Fraction

import pytest
from tests.store.records import BY_HAND, FRIDGE, MINUTE, at, every, record

from thawline.rules.cold import Side
from thawline.store.exposure import Question, Verdict, exposure, together
from thawline.store.limits import between
from thawline.store.readings import readings
from thawline.store.tidy import tidied


def seen(raw, limits=FRIDGE, accuracy_mc=0, interval=None):
    return exposure(tidied(raw, interval), Question(limits, accuracy_mc))


def test_the_warm_side_of_the_example_by_hand():
    above = seen(record(BY_HAND)).above.minutes()

    assert above["interpolated_min"] == pytest.approx(39.375, abs=1e-9)
    assert (above["hold_min"], above["conservative_min"]) == (45, 60)


def test_the_cold_side_of_the_example_by_hand():
    below = seen(record(BY_HAND)).below.minutes()

    assert below["interpolated_min"] == pytest.approx(11.25, abs=1e-9)
    assert (below["hold_min"], below["conservative_min"]) == (15, 30)


def test_a_gap_is_unknown_time_and_not_good_time():
    found = seen(record(BY_HAND))

    assert found.unknown_ms == 60 * MINUTE
    assert found.coverage_share == pytest.approx(135 / 195, abs=1e-12)


def test_an_excursion_names_its_first_and_last_reading_and_the_farthest_one():
    warm, cold = seen(record(BY_HAND)).excursions

    assert (warm.side, warm.from_ms, warm.to_ms) == (Side.ABOVE, at("08:30"), at("09:00"))
    assert (warm.readings, warm.extreme_mc) == (3, 10_000)
    assert (cold.side, cold.readings, cold.extreme_mc) == (Side.BELOW, 1, 1_000)


def test_minutes_cut_off_by_a_straight_line_are_exact():
    warm, cold = seen(record(BY_HAND)).excursions

    assert warm.interpolated_ms == Fraction(39375, 1000) * MINUTE
    assert (warm.interpolated_min, warm.hold_min, warm.conservative_min) == (39.375, 45, 60)
    assert cold.interpolated_ms == Fraction(1125, 100) * MINUTE


def test_the_limit_itself_is_inside_and_a_tenth_beyond_is_not():
    inside, outside = seen(every(5, "5.0 8.0 2.0 5.0")), seen(every(5, "5.0 8.1 1.9 5.0"))

    assert (inside.excursions, inside.verdict) == ((), Verdict.IN_RANGE)
    assert [one.extreme_mc for one in outside.excursions] == [8_100, 1_900]


def test_a_gap_ends_an_excursion_and_belongs_to_none_of_the_three_values():
    found = seen(record("00:00 5.0, 00:10 9.0, 00:20 9.0, 01:20 9.0, 01:30 9.0, 01:40 5.0"))

    assert [one.readings for one in found.excursions] == [2, 2]
    assert [one.hold_ms for one in found.excursions] == [10 * MINUTE, 20 * MINUTE]
    assert found.above.conservative_ms == 40 * MINUTE


def test_at_least_counts_between_two_readings_outside_and_at_most_reaches_into_the_gap():
    found = seen(record("00:00 5.0, 00:10 9.0, 00:20 9.0, 01:20 9.0, 01:30 9.0, 01:40 5.0"))

    assert found.above.at_least_ms == 20 * MINUTE
    assert found.above.at_most_ms == 100 * MINUTE


def test_a_night_with_a_gap_before_a_warm_spell_is_at_least_55_min_at_most_2_h_50():
    """Incident 9 of the demo: nothing from 01:00 to 02:55, warm until the end at 03:50."""
    night = every(5, "5.1 " * 12, "00:05"), every(5, "9.4 " * 12, "02:55")
    raw = readings(*([*one, *two] for one, two in zip(*map(_columns, night), strict=True)))

    found = seen(raw, accuracy_mc=500)

    assert found.above.at_least_ms == 55 * MINUTE
    assert found.above.at_most_ms == 170 * MINUTE
    assert found.verdict is Verdict.EXCURSION


def _columns(raw):
    return raw.at_ms.tolist(), raw.temp_mc.tolist()


def test_accuracy_widens_the_bounds_and_excuses_no_reading():
    found = seen(every(10, "5.0 8.3 8.3 5.0"), accuracy_mc=500)

    assert found.verdict is Verdict.EXCURSION
    assert (found.above.at_least_ms, found.above.at_most_ms) == (0, 30 * MINUTE)
    assert found.above.conservative_ms == 30 * MINUTE


def test_a_single_reading_outside_is_an_excursion_without_any_minutes():
    found = seen(every(5, "9.0"))

    assert found.verdict is Verdict.EXCURSION
    assert (found.excursions[0].readings, found.above.conservative_ms) == (1, 0)


def test_good_readings_around_a_gap_leave_the_verdict_open():
    found = seen(record("00:00 5.0, 00:05 5.0, 00:10 5.0, 01:10 5.0, 01:15 5.0"))

    assert found.verdict is Verdict.NOT_KNOWN
    assert found.above.at_most_ms == found.below.at_most_ms == 60 * MINUTE


def test_a_record_without_readings_is_not_known():
    found = seen(readings([], []))

    assert (found.verdict, found.coverage_share) == (Verdict.NOT_KNOWN, 0.0)


def test_readings_that_contradict_each_other_count_as_the_worse_on_each_side():
    raw = record("00:00 5.0, 00:05 1.0, 00:05 9.0, 00:10 5.0")

    found = seen(raw)

    assert found.above.conservative_ms == found.below.conservative_ms == 10 * MINUTE
    assert found.outside == 1


def test_a_contradicted_reading_is_never_certainly_outside():
    found = seen(record("00:00 9.0, 00:05 9.0, 00:05 5.0, 00:10 9.0, 00:15 9.0"))

    assert found.above.at_least_ms == 5 * MINUTE
    assert found.above.at_most_ms == 15 * MINUTE


def test_a_suspected_fault_stays_an_excursion():
    found = seen(record(f"{BY_HAND}, 11:30 85.0"))

    assert found.excursions[-1].extreme_mc == 85_000
    assert found.above.conservative_ms == 75 * MINUTE


def test_from_above_to_below_in_one_step_counts_on_both_sides():
    found = seen(every(10, "9.0 1.0"))

    assert found.above.interpolated_ms == found.below.interpolated_ms == 75_000
    assert found.above.conservative_ms == found.below.conservative_ms == 10 * MINUTE


def test_a_display_of_whole_fahrenheit_leaves_a_reading_on_the_limit_open():
    """46 °F stands for 7.50 to 8.06 °C and 36 °F for 1.94 to 2.50 °C."""
    found = seen(readings([0, MINUTE, 2 * MINUTE], [7_778, 5_000, 2_222]))

    assert found.undecidable == 2
    assert (found.verdict, found.outside) == (Verdict.NOT_KNOWN, 0)


def test_stays_add_up_and_going_back_resets_nothing():
    first, second = seen(every(10, "5.0 9.0 9.0 5.0")), seen(every(10, "9.0 9.0", "12:00"))

    found = together([first, second])

    assert found.above.conservative_ms == 40 * MINUTE
    assert (found.above.at_least_ms, found.above.hold_ms) == (20 * MINUTE, 30 * MINUTE)
    assert found.known_ms == 40 * MINUTE


def test_a_freezer_that_warms_to_its_limit_is_in_and_beyond_it_is_out():
    freezer = between(Decimal(-50), Decimal(-15))

    assert seen(every(5, "-15.0 -50.0"), freezer).verdict is Verdict.IN_RANGE
    assert seen(every(5, "-14.9 -20"), freezer).excursions[0].side is Side.ABOVE
