"""
The one published example of a mean kinetic temperature whose steps are printed.

A worked page for 23 and 25 °C, with kelvin counted from 273.1: exponents -33.77237419790611 and
-33.545790003354576, result 24.05 °C. As the project's cold-chain check values give it,
2026-11-25; rows M3 and M4. Tolerance: half the last printed digit.
"""

import numpy as np
import pytest

from thawline.store.kinetic import GAS_CONSTANT_KJ_PER_MOL_K, mean_kinetic_c

ENERGY = 83.144


def test_m3_the_result_is_24_05():
    found = mean_kinetic_c(np.array([23.0, 25.0]), np.ones(2), ENERGY)

    assert found == pytest.approx(24.05, abs=0.005)


@pytest.mark.parametrize(
    ("temp_c", "exponent"), [(23, -33.77237419790611), (25, -33.545790003354576)]
)
def test_m4_the_exponents_with_the_pages_273_1(temp_c, exponent):
    ours = -ENERGY / GAS_CONSTANT_KJ_PER_MOL_K / (273.1 + temp_c)

    assert ours == pytest.approx(exponent, abs=1e-8)
