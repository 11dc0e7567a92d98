"""
Unequal spacing: the trapezoid of e^(-Ea/RT), duplicates averaged.

Tong and Lock, Joint Statistical Meetings 2015, with their reference function of 2019, as the
project's cold-chain check values give the rule, 2026-11-25; row M10. The temperatures were
computed for those check values by that rule, with a gas constant that differs in the sixth
digit. Tolerance: 0.001, as the row says.
"""

import numpy as np
import pytest

from thawline.store.kinetic import described
from thawline.store.readings import readings
from thawline.store.tidy import tidied

HOUR = 3_600_000
TIMES = np.array([0, 1, 2, 4, 8, 12]) * HOUR
TEMPS = [5_000, 5_000, 15_000, 8_000, 5_000, 5_000]


def test_m10_readings_at_unequal_times():
    found = described(tidied(readings(TIMES, TEMPS), 4 * HOUR), 83.144)

    assert found.mkt_c == pytest.approx(7.7794, abs=0.001)
    assert not found.even


def test_a_time_read_twice_counts_once_with_its_average():
    doubled = readings([*TIMES, 2 * HOUR, 2 * HOUR], [*TEMPS, 14_000, 16_000])

    found = described(tidied(doubled, 4 * HOUR), 83.144)

    assert found.mkt_c == pytest.approx(7.7794, abs=0.001)
