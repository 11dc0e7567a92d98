"""When somebody is called about a unit, and when that is over; made-up figures throughout."""

from dataclasses import replace
from itertools import pairwise

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from tests.store.freezer import FIGURES, MINUTE, every, raised, seen

from thawline.store.alerts import Alert, Cause
from thawline.store.readings import readings
from thawline.store.watching import alerts, late

# --- on -----------------------------------------------------------------------------------


def test_a_unit_in_its_band_calls_nobody():
    assert raised(every(5, 5.0, 5.2, 8.0, 2.0, 5.0)) == []


def test_one_reading_outside_is_not_called_out():
    assert raised(every(4, 5.0, 9.0, 5.0)) == []


@pytest.mark.parametrize(
    ("second", "called"),
    [(4.99, []), (5, [("above", 0, 5, None)]), (5.5, [("above", 0, 5.5, None)])],
    ids=["just before the delay", "at the delay", "after it"],
)
def test_a_call_is_due_at_the_first_reading_outside_after_the_delay(second, called):
    assert raised(seen((0, 8.1), (second, 8.1)), now=6) == called


def test_too_cold_is_a_cause_of_its_own():
    assert raised(every(5, 1.9, 1.9)) == [("below", 0, 5, None)]


def test_a_reading_just_inside_neither_starts_the_delay_again_nor_calls():
    just_inside = 7.9

    assert raised(every(4, 8.1, just_inside, just_inside)) == []
    assert raised(every(4, 8.1, just_inside, just_inside, 8.1)) == [("above", 0, 12, None)]


@pytest.mark.parametrize(("degrees", "since"), [(7.5, 8), (7.501, 0)])
def test_inside_by_the_dead_band_starts_the_delay_again(degrees, since):
    record = every(4, 8.1, degrees, 8.1, 8.1, 8.1)

    assert raised(record)[0][1] == since


def test_from_too_warm_to_too_cold_are_two_alerts():
    record = every(5, 9.0, 9.0, 1.0, 1.0)

    assert raised(record) == [("above", 0, 5, None), ("below", 10, 15, None)]


# --- over ---------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("last", "over"), [(14.99, None), (15, 15), (16, 16)], ids=["before", "at", "after"]
)
def test_an_alert_is_over_once_readings_were_inside_long_enough(last, over):
    record = seen((0, 9.0), (5, 9.0), (10, 7.5), (last, 7.5))

    assert raised(record, now=16) == [("above", 0, 5, over)]


def test_only_just_inside_ends_no_alert():
    assert raised(every(5, 9.0, 9.0, 7.6, 7.6, 7.6)) == [("above", 0, 5, None)]


def test_a_reading_outside_starts_the_clearing_again():
    record = every(4, 9.0, 9.0, 9.0, 7.0, 8.1, 7.0, 7.0, 7.0)

    assert raised(record) == [("above", 0, 8, 28)]


def test_a_gap_is_not_known_and_ends_no_alert():
    record = seen((0, 9.0), (5, 9.0), (10, 5.0), (60, 5.0), (64, 5.0))

    assert raised(record)[0] == ("above", 0, 5, None)


def test_a_unit_that_swings_around_its_limit_raises_one_alert():
    swings = every(5, *[8.2, 7.8] * 100)

    assert raised(swings) == [("above", 0, 10, None)]


def test_after_it_was_over_the_next_excursion_is_a_new_alert():
    record = every(5, 9.0, 9.0, 5.0, 5.0, 9.0, 9.0)

    assert raised(record) == [("above", 0, 5, 15), ("above", 20, 25, None)]


# --- silence ------------------------------------------------------------------------------


@pytest.mark.parametrize(("now", "called"), [(40, []), (41, [("silent", 10, 40, None)])])
def test_a_logger_that_sends_nothing_is_called_out_after_its_longest_interval(now, called):
    assert raised(every(5, 5.0, 5.0, 5.0), now=now) == called


def test_a_gap_in_the_record_is_a_silence_that_ended():
    record = seen((0, 5.0), (40, 5.0), (45, 5.0))

    assert raised(record) == [("silent", 0, 30, 45)]


def test_a_logger_that_sends_too_seldom_raises_one_alert():
    assert raised(every(31, *[5.0] * 20)) == [("silent", 0, 30, None)]


def test_a_logger_that_sends_exactly_as_often_as_it_must_is_not_silent():
    assert raised(every(30, *[5.0] * 20)) == []


def test_where_nobody_expects_it_to_send_a_logger_is_not_silent():
    download = replace(FIGURES, silent_ms=None)

    assert raised(seen((0, 5.0), (300, 5.0)), now=900, figures=download) == []


def test_a_logger_that_never_sent_anything_is_silent_since_the_following_began():
    nothing = readings([], [])

    assert alerts(nothing, FIGURES, 31 * MINUTE) == ()
    assert alerts(nothing, FIGURES, 31 * MINUTE, began_ms=0) == (
        Alert(Cause.SILENT, 0, 30 * MINUTE, None),
    )


def test_readings_stamped_after_now_do_not_hide_a_silence():
    record = seen((0, 5.0), (500, 5.0))

    assert raised(record, now=31) == [("silent", 0, 30, None)]


# --- order and repetition -----------------------------------------------------------------


def test_two_readings_of_one_instant_count_both():
    record = seen((0, 9.0), (5, 5.0), (5, 9.0))

    assert raised(record) == [("above", 0, 5, None)]


def test_what_was_raised_stays_when_a_late_reading_would_have_prevented_it():
    before = alerts(every(5, 9.0, 9.0), FIGURES, 5 * MINUTE)
    with_late = seen((0, 9.0), (5, 9.0), (3, 5.0))

    assert raised(with_late) == []
    assert raised(with_late, kept=before) == [("above", 0, 5, None)]


def test_a_late_excursion_before_the_last_end_is_counted_and_calls_nobody():
    kept = [Alert(Cause.ABOVE, 100 * MINUTE, 105 * MINUTE, 9_000, 120 * MINUTE)]
    past = seen((10, 9.0), (20, 9.0), (110, 9.0), (200, 9.0), (15, 5.0))

    assert late(past, FIGURES, kept) == 2


MINUTES = st.integers(0, 400)
DEGREES = st.sampled_from([0.0, 1.9, 2.0, 2.4, 2.5, 5.0, 7.5, 7.6, 8.0, 8.1, 12.0])
RECORDS = st.lists(st.tuples(MINUTES, DEGREES), max_size=60).map(lambda rows: seen(*rows))


def _part(record, rows):
    return readings(record.at_ms[rows], record.temp_mc[rows])


@given(RECORDS)
def test_a_cause_never_has_two_alerts_at_once(record):
    found = alerts(record, FIGURES, 450 * MINUTE)

    for cause in Cause:
        of_cause = [alert for alert in found if alert.cause is cause]
        for first, second in pairwise(of_cause):
            assert first.cleared_ms is not None
            assert first.cleared_ms <= second.since_ms < second.raised_ms


@given(RECORDS, st.lists(st.tuples(MINUTES, DEGREES), max_size=20))
def test_later_readings_never_take_an_alert_back(record, more):
    last = int(max(record.at_ms, default=0)) // MINUTE
    before = alerts(record, FIGURES, last * MINUTE)
    rows = [*zip(record.at_ms / MINUTE, record.temp_mc / 1000, strict=True)]
    later = seen(*rows, *((last + 1 + minute, degrees) for minute, degrees in more))

    after = alerts(later, FIGURES, 1000 * MINUTE)

    known = {(a.cause, a.since_ms, a.raised_ms, a.temp_mc) for a in after}
    assert {(a.cause, a.since_ms, a.raised_ms, a.temp_mc) for a in before} <= known


@given(RECORDS, MINUTES)
def test_stopping_and_going_on_anywhere_gives_the_same_alerts(record, stop):
    whole = alerts(record, FIGURES, 450 * MINUTE)
    first = _part(record, record.at_ms <= stop * MINUTE)

    kept = alerts(first, FIGURES, stop * MINUTE)

    assert alerts(record, FIGURES, 450 * MINUTE, kept) == whole


@given(RECORDS.flatmap(lambda record: st.tuples(st.just(record), _any_order(len(record)))))
def test_the_order_in_which_readings_arrive_and_how_often_changes_nothing(drawn):
    record, rows = drawn
    arrived = _part(record, np.array(rows, dtype=np.intp))

    assert alerts(arrived, FIGURES, 450 * MINUTE) == alerts(record, FIGURES, 450 * MINUTE)


def _any_order(count):
    """Return every row once, in any order, then some of them again."""
    again = st.lists(st.integers(0, count - 1), max_size=5) if count else st.just([])
    return st.tuples(st.permutations(range(count)), again).map(lambda two: [*two[0], *two[1]])


@given(RECORDS)
def test_every_stay_outside_as_long_as_the_delay_is_covered_by_an_alert(record):
    found = alerts(record, FIGURES, 450 * MINUTE)
    covered = [
        (a.since_ms, a.cleared_ms or 450 * MINUTE) for a in found if a.cause is Cause.ABOVE
    ]
    rows = sorted(zip(record.at_ms.tolist(), record.temp_mc.tolist(), strict=True))
    stay: list[int] = []
    for at_ms, temp_mc in rows:
        stay = [*stay, at_ms] if temp_mc > FIGURES.high_mc else []
        long = stay and stay[-1] - stay[0] >= FIGURES.delay_ms
        assert not long or any(since <= stay[-1] <= over for since, over in covered)
