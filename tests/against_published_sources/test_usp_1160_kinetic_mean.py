"""
Mean kinetic temperature by the formula of the pharmacopoeia.

United States Pharmacopeia, USP 29-NF 24 (2006), general chapter <1160>: activation energy
83.144 kJ/mol unless more accurate information is available, R = 8.3144e-3 kJ/(K mol), so that
their ratio is 10 000 K. As the project's cold-chain check values give it, 2026-11-25; rows M1,
M2, M5, M6, M8 and M12. The temperatures were computed for those check values from the printed
formula, not printed in the chapter; tolerance half their last digit.
"""

import numpy as np
import pytest

from thawline.adapters import rule_files
from thawline.store.kinetic import GAS_CONSTANT_KJ_PER_MOL_K, mean_kinetic_c
from thawline.store.stays import described_stays, read_stays

ENERGY = float(rule_files.load("published-2022").protocol.kinetic.activation_energy_kj_per_mol)


def of_stays(text):
    return described_stays(read_stays(text), ENERGY)


def mean(*temps_c, weights=None):
    given = np.ones(len(temps_c)) if weights is None else np.array(weights, dtype=float)
    return mean_kinetic_c(np.array(temps_c, dtype=float), given, ENERGY)


def test_m1_a_constant_temperature_is_its_own_mean():
    assert mean(25, 25, 25, 25, 25) == pytest.approx(25, abs=1e-9)


def test_m2_the_ratio_of_the_printed_constants_is_10_000_kelvin():
    assert ENERGY == 83.144
    assert pytest.approx(10_000, abs=1e-6) == ENERGY / GAS_CONSTANT_KJ_PER_MOL_K


def test_m5_half_at_0_and_half_at_10_is_above_the_plain_mean_and_not_below_it():
    """A recipe that leaves the exponential out gives 4.910, the harmonic mean."""
    assert mean(0, 10) == pytest.approx(6.4327, abs=5e-5)


@pytest.mark.parametrize(
    ("stays", "expected"),
    [
        ("2 C 1 h, 8 C 1 h", 5.5364),
        ("4 C 4 h, 16 C 1 h", 8.1089),
        ("5 C 23 h, 15 C 1 h", 5.7635),
        ("5 C 20 h, 15 C 4 h", 7.7046),
        ("5 C 23 h, 25 C 1 h", 7.7564),
        ("8 C 23 h, 15 C 1 h", 8.4404),
        ("22 C 29 d, 40 C 1 d", 23.5996),
        ("20 C 29 d, 40 C 1 d", 22.0076),
        ("20 C 1 h, 25 C 1 h, 30 C 1 h", 25.8582),
    ],
)
def test_m6_and_its_neighbours_stays_at_two_temperatures(stays, expected):
    assert of_stays(stays).mkt_c == pytest.approx(expected, abs=5e-5)


def test_m8_two_hours_below_freezing_vanish_and_the_freeze_is_still_told():
    found = of_stays("5 C 22 h, -2 C 2 h")

    assert found.mkt_c == pytest.approx(4.6005, abs=5e-5)
    assert found.touched_freezing


def test_m12_a_union_has_the_mean_of_its_parts():
    first, second = mean(5, 15, weights=[23, 1]), mean(2, 9, 30, weights=[10, 5, 1])
    union = mean(5, 15, 2, 9, 30, weights=[23, 1, 10, 5, 1])

    assert union == pytest.approx(8.297803, abs=5e-7)
    assert mean(first, second, weights=[24, 16]) == pytest.approx(union, abs=1e-9)


@pytest.mark.parametrize(
    ("energy", "expected"), [(60, 5.6348), (83.144, 5.7635), (100, 5.8748)]
)
def test_the_activation_energy_matters_little_in_a_day_with_one_warm_hour(energy, expected):
    found = described_stays(read_stays("5 C 23 h, 15 C 1 h"), energy)

    assert found.mkt_c == pytest.approx(expected, abs=5e-5)
