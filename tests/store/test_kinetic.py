"""A description of a record, what it hides, and when there is none."""

import mpmath
import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from tests.store.records import FRIDGE, MINUTE, every, record

from thawline.base.errors import RecordError
from thawline.store.exposure import Question, Verdict, exposure
from thawline.store.kinetic import (
    FROZE,
    NO_ENERGY,
    NO_READINGS,
    described,
    mean_kinetic_c,
)
from thawline.store.readings import readings
from thawline.store.stays import described_stays, read_stays
from thawline.store.tidy import tidied

ENERGY = 83.144
TEMPS = st.lists(st.integers(1, 45_000), min_size=1, max_size=60)


def oracle(temps_c, weights, energy=ENERGY):
    """The formula as printed, in 50 digits."""
    with mpmath.workdps(50):
        ratio = mpmath.mpf(str(energy)) / mpmath.mpf("0.0083144")
        kelvins = [mpmath.mpf(float(temp)) + mpmath.mpf("273.15") for temp in temps_c]
        rates = [w * mpmath.exp(-ratio / k) for k, w in zip(kelvins, weights, strict=True)]
        share = mpmath.fsum(rates) / mpmath.fsum(weights)
        return float(ratio / -mpmath.log(share) - mpmath.mpf("273.15"))


def mkt(temps_c, weights=None, energy=ENERGY):
    temps = np.array(temps_c, dtype=float)
    return mean_kinetic_c(temps, np.ones(len(temps)) if weights is None else weights, energy)


@given(TEMPS, st.data())
def test_it_agrees_with_fifty_digits(temps_mc, data):
    weights = data.draw(
        st.lists(st.integers(1, 1000), min_size=len(temps_mc), max_size=len(temps_mc))
    )
    temps = [temp / 1000 for temp in temps_mc]

    assert mkt(temps, np.array(weights, dtype=float)) == pytest.approx(
        oracle(temps, weights), abs=1e-9
    )


@given(st.integers(-90_000, 60_000), st.integers(1, 50))
def test_a_steady_temperature_is_its_own_mean(temp_mc, count):
    assert mkt([temp_mc / 1000] * count) == pytest.approx(temp_mc / 1000, abs=1e-9)


@given(TEMPS)
def test_it_lies_between_the_plain_mean_and_the_warmest(temps_mc):
    temps = np.array(temps_mc) / 1000

    assert temps.min() - 1e-9 <= temps.mean() <= mkt(temps) + 1e-9
    assert mkt(temps) <= temps.max() + 1e-9


@given(TEMPS, st.randoms())
def test_the_order_of_readings_and_the_scale_of_weights_do_not_matter(temps_mc, dice):
    pairs = [(temp / 1000, place % 7 + 1) for place, temp in enumerate(temps_mc)]
    shuffled = dice.sample(pairs, len(pairs))

    one = mkt(*map(np.array, zip(*pairs, strict=True)))
    other = mkt(*(np.array(each) for each in zip(*shuffled, strict=True)))
    scaled = mkt(np.array([t for t, _ in pairs]), np.array([w * 60.0 for _, w in pairs]))

    assert one == pytest.approx(other, abs=1e-9)
    assert one == pytest.approx(scaled, abs=1e-9)


@given(TEMPS, TEMPS)
def test_the_mean_of_a_union_is_the_mean_of_its_parts_by_their_length(first, second):
    one, two = np.array(first) / 1000, np.array(second) / 1000
    parts = mkt([mkt(one), mkt(two)], np.array([float(len(one)), float(len(two))]))

    assert mkt(np.concatenate([one, two])) == pytest.approx(parts, abs=1e-9)


def test_without_activation_it_nears_the_harmonic_mean_and_with_much_the_maximum():
    harmonic = 2 / (1 / 273.15 + 1 / 283.15) - 273.15

    assert mkt([0, 10], energy=1e-6) == pytest.approx(harmonic, abs=1e-4)
    assert mkt([0, 10], energy=1e6) == pytest.approx(10, abs=1e-3)


def test_even_spacing_counts_each_reading_once():
    found = described(tidied(every(15, "5.0 15.0 5.0")), ENERGY)

    assert found.even
    assert found.mean_c == pytest.approx(25 / 3, abs=1e-9)
    assert found.mkt_c == pytest.approx(oracle([5, 15, 5], [1, 1, 1]), abs=1e-9)


def test_uneven_spacing_counts_each_reading_for_its_time():
    found = described(tidied(record("00:00 5.0, 00:10 15.0, 00:30 5.0"), 20 * MINUTE), ENERGY)

    assert not found.even
    assert found.mean_c == pytest.approx((5 * 10 + 15 * 30 + 5 * 20) / 60, abs=1e-9)
    assert found.mkt_c == pytest.approx(oracle([5, 15], [30, 30]), abs=1e-9)


def test_nothing_is_averaged_across_a_gap():
    uneven = "00:00 5.0, 00:08 5.0, 00:20 5.0, 04:00 15.0, 04:10 15.0"

    found = described(tidied(record(uneven), 10 * MINUTE), ENERGY)

    assert found.mean_c == pytest.approx((5 * 20 + 15 * 10) / 30, abs=1e-9)


def test_contradicting_readings_are_averaged():
    found = described(tidied(record("00:00 4.0, 00:05 4.0, 00:05 5.0, 00:10 4.0")), ENERGY)

    assert found.mean_c == pytest.approx((4 + 4.5 + 4) / 3, abs=1e-9)
    assert (found.min_c, found.max_c) == (4, 5)


@pytest.mark.parametrize("coldest", ["0.0", "-0.1", "-20.0"])
def test_there_is_none_for_a_record_that_touched_freezing(coldest):
    found = described(tidied(every(5, f"5.0 {coldest} 5.0")), ENERGY)

    assert (found.mkt_c, found.refused) == (None, FROZE)
    assert found.mean_c is not None


def test_there_is_none_without_readings_or_without_an_energy():
    assert described(tidied(readings([], [])), ENERGY).refused == NO_READINGS
    assert described(tidied(every(5, "5.0 5.1")), None).refused == NO_ENERGY


def test_a_lone_reading_is_its_own_description():
    assert described(tidied(every(5, "5.0")), ENERGY).mkt_c == pytest.approx(5, abs=1e-9)


def test_it_never_clears_an_excursion():
    """Thirty minutes at 12 °C in a day at 5 °C: the mean kinetic temperature is fine."""
    raw = every(15, "5.0 " * 94 + "12.0 12.0")

    assert described(tidied(raw), ENERGY).mkt_c < 8
    assert exposure(tidied(raw), Question(FRIDGE)).verdict is Verdict.EXCURSION


def test_stays_are_read_as_somebody_writes_them():
    stays = read_stays("25 C 29 d, 40 C 1 d, 77 F 30 min, -2.5 °C 2 h")

    assert [float(stay.temp_c) for stay in stays] == [25, 40, 25, -2.5]
    assert [float(stay.hours) for stay in stays] == [29 * 24, 24, 0.5, 2]


@pytest.mark.parametrize("text", ["25 29 d", "25 C", "25 K 1 d", "", "61 C 1 d", "25 C 0 d"])
def test_stays_that_cannot_be_meant_are_refused(text):
    with pytest.raises(RecordError):
        read_stays(text)


def test_stays_say_when_freezing_is_hidden_in_the_number():
    found = described_stays(read_stays("5 C 22 h, -2 C 2 h"), ENERGY)

    assert found.touched_freezing
    assert (found.hours, found.min_c) == (24, -2)
    assert found.mkt_c == pytest.approx(oracle([5, -2], [22, 2]), abs=1e-9)


def test_frozen_stays_have_no_mean_kinetic_temperature():
    found = described_stays(read_stays("-20 C 1 d, -15 C 1 d"), ENERGY)

    assert (found.mkt_c, found.refused) == (None, FROZE)
    assert found.mean_c == pytest.approx(-17.5)
