"""
The mean kinetic temperature is higher than the arithmetic mean, and no record of ice has one.

ICH guideline Q1A(R2), glossary, as quoted in two application notes and in the project's
cold-chain check values, 2026-11-25; row M11. Row M14 (refused for frozen records) is from
memory there: the formula does not cross a phase change.
"""

import numpy as np
import pytest

from thawline.store.kinetic import FROZE, described, mean_kinetic_c
from thawline.store.readings import readings
from thawline.store.tidy import tidied


@pytest.mark.parametrize("seed", range(20))
def test_m11_it_is_above_the_arithmetic_mean_and_below_the_maximum(seed):
    temps = np.random.default_rng(seed).uniform(0.1, 40, 500)

    found = mean_kinetic_c(temps, np.ones(500), 83.144)

    assert temps.min() <= temps.mean() <= found <= temps.max()


@pytest.mark.parametrize("warmest_mc", [-15_000, 0])
def test_m14_a_freezer_record_has_none(warmest_mc):
    record = readings([0, 300_000, 600_000], [-20_000, warmest_mc, -18_000])

    found = described(tidied(record), 83.144)

    assert (found.mkt_c, found.refused) == (None, FROZE)
