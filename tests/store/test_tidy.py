"""What is found when a record is put in order, and that nothing of it is lost."""

import numpy as np
import pytest
from tests.store.records import BY_HAND, MINUTE, at, every, record

from thawline.store.faults import Suspicion
from thawline.store.readings import readings
from thawline.store.tidy import Gap, Kind, tidied


def test_readings_are_sorted_and_their_disorder_is_told():
    tidy = tidied(record("00:10 5.2, 00:00 5.0, 00:05 5.1, 00:15 5.3"))

    assert tidy.settled.warmest_mc.tolist() == [5_000, 5_100, 5_200, 5_300]
    assert (tidy.disorder.count, tidy.disorder.first) == (2, (1, 2))


def test_a_record_in_order_has_no_disorder():
    assert tidied(record(BY_HAND)).disorder.count == 0


def test_the_same_reading_twice_is_kept_once_and_told():
    tidy = tidied(record("00:00 5.0, 00:05 5.1, 00:05 5.1, 00:10 5.2"))

    assert len(tidy.settled) == 3
    (found,) = tidy.duplicates
    assert (found.at_ms, found.kind, found.temps_mc) == (at("00:05"), Kind.SAME, (5_100, 5_100))


def test_contradicting_readings_are_both_kept_each_for_its_side():
    tidy = tidied(record(f"{BY_HAND}, 09:45 5.7"))

    (found,) = tidy.duplicates
    assert (found.kind, found.temps_mc) == (Kind.CONFLICTING, (5_500, 5_700))
    place = tidy.settled.at_ms.tolist().index(at("09:45"))
    assert tidy.settled.warmest_mc[place] == 5_700
    assert tidy.settled.coldest_mc[place] == 5_500
    assert tidy.settled.average_mc[place] == 5_600


def test_an_average_takes_each_value_of_an_instant_once():
    tidy = tidied(record("00:00 4.0, 00:00 4.0, 00:00 5.0"))

    assert tidy.settled.average_mc.tolist() == [4_500]


def test_the_interval_is_the_usual_step_whatever_the_gaps():
    assert tidied(record(BY_HAND)).interval_ms == 15 * MINUTE
    assert tidied(every(5, "5.0")).interval_ms is None


def test_of_two_steps_as_frequent_the_shorter_one_is_the_interval():
    """An interval taken too long would hide gaps."""
    assert tidied(record("00:00 5.0, 00:05 5.0, 01:05 5.0")).interval_ms == 5 * MINUTE


def test_a_gap_says_how_many_readings_are_missing():
    assert tidied(record(BY_HAND)).gaps == (Gap(at("09:45"), at("10:45"), 3),)


@pytest.mark.parametrize(
    ("last", "gaps"),
    [("00:17", 0), ("00:17.5", 0), ("00:18", 1)],
    ids=["a bit late", "one and a half intervals", "longer"],
)
def test_a_gap_is_longer_than_one_and_a_half_intervals(last, gaps):
    minutes = [0, 5, 10, float(last.split(":")[1])]
    raw = readings([int(minute * MINUTE) for minute in minutes], [5_000] * 4)

    assert len(tidied(raw).gaps) == gaps


def test_a_stated_interval_decides_over_the_usual_step():
    assert tidied(every(15, "5.0 5.0 5.0"), 5 * MINUTE).gaps[0].missing == 2


@pytest.mark.parametrize(
    ("temp", "why"),
    [
        ("85.0", Suspicion.STARTED),
        ("-127", Suspicion.CUT_OFF),
        ("60.1", Suspicion.OUT_OF_SIGHT),
        ("-100.1", Suspicion.OUT_OF_SIGHT),
    ],
)
def test_values_that_faulty_probes_give_are_suspected_and_kept(temp, why):
    tidy = tidied(every(15, f"5.0 5.1 {temp} 5.2"))

    assert [(spike.at_ms, spike.why) for spike in tidy.spikes] == [(at("00:30"), why)]
    assert len(tidy.settled) == 4


def test_there_and_back_faster_than_air_can_change_is_suspected():
    quick, slow = every(1, "5.0 5.0 25.0 5.0 5.0"), every(5, "5.0 5.0 25.0 5.0 5.0")

    assert [spike.why for spike in tidied(quick).spikes] == [Suspicion.TOO_FAST]
    assert tidied(slow).spikes == ()


def test_a_probe_that_is_moved_and_stays_there_is_no_spike():
    assert tidied(every(1, "-20.0 -20.0 21.0 21.0 21.0")).spikes == ()
    assert tidied(every(1, "-20.0 -20.0 1.0 21.0 21.0")).spikes == ()


def test_a_coarse_display_is_noticed_by_the_thousandths_it_leaves():
    whole_f = readings([0, MINUTE], [7_778, 5_000])

    assert tidied(whole_f).half_step_mc == 278
    assert tidied(every(5, "5.0 8.0 41.0")).half_step_mc == 0


def test_a_display_of_whole_degrees_celsius_is_told_by_the_file():
    assert tidied(every(5, "5 8"), step_mc=1_000).half_step_mc == 500


def test_nothing_is_deleted():
    raw = record("00:10 85.0, 00:00 5.0, 00:00 5.0, 00:00 9.0, 00:05 -127")

    tidy = tidied(raw)

    assert tidy.raw == 5
    assert {85_000, 5_000, 9_000, -127_000} == {
        *tidy.settled.warmest_mc.tolist(),
        *tidy.settled.coldest_mc.tolist(),
    }
    assert np.all(np.diff(tidy.settled.at_ms) > 0)
