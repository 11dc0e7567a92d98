"""A record in blocks says what the whole record says, however it is cut."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from tests.store.records import FRIDGE, MINUTE, every

from thawline.store.displays import is_whole_fahrenheit
from thawline.store.exposure import Question, exposure
from thawline.store.kinetic import described
from thawline.store.readings import Readings, readings
from thawline.store.running import RunningRecord
from thawline.store.tidy import tidied

ENERGY = 83.144
STEPS = st.sampled_from([0, 1, 4, 5, 5, 5, 5, 5, 5, 7, 8, 20, 300])
TEMPS = st.sampled_from([1_000, 1_900, 2_000, 5_000, 7_500, 7_900, 8_000, 8_100, 9_000, 85_000])


@st.composite
def cut_records(draw):
    """Readings in blocks; out of order only within a block, and not before the last instant."""
    blocks, now = [], 0
    for _ in range(draw(st.integers(1, 5))):
        steps = draw(st.lists(STEPS, max_size=12))
        times = [now + sum(steps[: place + 1]) for place in range(len(steps))]
        now = times[-1] if times else now
        pairs = [(at * MINUTE, draw(TEMPS)) for at in times]
        late = draw(st.permutations(pairs)) if draw(st.booleans()) else pairs
        blocks.append(readings([at for at, _ in late], [temp for _, temp in late]))
    return blocks


def joined(blocks):
    return Readings(
        np.concatenate([block.at_ms for block in blocks]),
        np.concatenate([block.temp_mc for block in blocks]),
    )


def folded(blocks, interval, listed_most=None):
    record = RunningRecord(Question(FRIDGE, 500), interval, listed_most=listed_most)
    for block in blocks:
        record.add(block)
    return record.finish(ENERGY)


@given(cut_records())
def test_the_time_out_does_not_depend_on_the_cuts(blocks):
    tidy = tidied(joined(blocks), 5 * MINUTE)

    answer = folded(blocks, 5 * MINUTE)

    assert answer.exposure == exposure(tidy, Question(FRIDGE, 500))
    assert answer.description == described(tidy, ENERGY)


@given(cut_records())
def test_what_was_found_does_not_depend_on_the_cuts(blocks):
    raw = joined(blocks)
    tidy = tidied(raw, 5 * MINUTE)

    found = folded(blocks, 5 * MINUTE).found

    assert (found.gaps, found.gap_count) == (tidy.gaps, len(tidy.gaps))
    assert (found.duplicates, found.disorder) == (tidy.duplicates, tidy.disorder)
    assert (found.spikes, found.spike_count) == (tidy.spikes, len(tidy.spikes))
    assert (found.raw, found.usual_ms) == (tidy.raw, tidied(raw).interval_ms)
    assert found.whole_fahrenheit == is_whole_fahrenheit(raw.temp_mc)


def test_a_reading_that_belongs_before_an_earlier_block_needs_the_whole_record():
    record = RunningRecord(Question(FRIDGE), 5 * MINUTE)
    record.add(every(5, "5.0 5.0 5.0", "02:00"))
    record.add(every(5, "5.0 5.0", "01:00"))

    assert "out of order" in record.needs_whole
    assert record.finish(None).found.needs_whole == record.needs_whole


def test_a_second_reading_of_an_instant_already_passed_on_needs_the_whole_record():
    record = RunningRecord(Question(FRIDGE), 5 * MINUTE)
    record.add(every(5, "5.0 5.0 5.0", "02:00"))
    record.add(every(5, "9.0", "02:05"))

    assert "out of order" in record.needs_whole


def test_a_logger_without_any_usual_step_needs_the_whole_record():
    steps = np.arange(1, 100_003)
    raw = readings(np.cumsum(steps), np.full(len(steps), 5_000))

    assert "alike" in folded([raw], MINUTE).found.needs_whole


def test_very_many_excursions_are_cut_off_in_the_list_and_not_in_the_sum():
    raw = every(5, "9.0 5.0 1.0 " * 40)

    whole, short = folded([raw], 5 * MINUTE), folded([raw], 5 * MINUTE, listed_most=10)

    assert len(short.exposure.excursions) == 20
    assert (whole.exposure.listed_all, short.exposure.listed_all) == (True, False)
    assert whole.exposure.above == short.exposure.above
    assert short.exposure.above.excursions == 40


def test_the_list_of_findings_is_cut_off_and_the_count_is_not():
    raw = every(60, "85.0 5.0 5.0 5.0 " * 10)

    found = folded([raw], 5 * MINUTE, listed_most=3).found

    assert (len(found.gaps), found.gap_count) == (3, 39)
    assert (len(found.spikes), found.spike_count) == (3, 10)


def test_whole_fahrenheit_is_known_at_the_end():
    whole = readings([0, 1, 2], [7_778, 5_000, 2_222])

    assert folded([whole], 1).found.whole_fahrenheit
    assert not folded([whole, readings([3], [5_100])], 1).found.whole_fahrenheit


@pytest.mark.parametrize("block", [1, 2, 7])
def test_an_excursion_that_lasts_over_many_blocks_is_one(block):
    temps = ["5.0", *["9.0"] * 20, "8.5", "5.0"]
    whole = every(5, " ".join(temps))
    cut = [
        Readings(whole.at_ms[at : at + block], whole.temp_mc[at : at + block])
        for at in range(0, len(whole), block)
    ]

    (one,) = folded(cut, 5 * MINUTE).exposure.excursions

    assert (one.readings, one.hold_ms) == (21, 21 * 5 * MINUTE)
    assert one.conservative_ms == 22 * 5 * MINUTE
