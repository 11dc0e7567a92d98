"""
The clinic day of 2,400 bookings against means from another program with exact lognormal times.

Methods table D: 20,000 days there, each mean with its standard error. Neither the random
numbers nor the way of drawing durations is ours.
"""

import pytest
from tests.plan.clinic_days import minutes, seconds

from thawline.plan.chairs import Stay
from thawline.plan.clinic_day import ClinicDay, ClinicStation
from thawline.plan.flow import clinic_days
from thawline.plan.flow_outcome import estimate
from thawline.plan.quantile_tables import lognormal, normal


def _station(name, servers, mean, variation):
    return ClinicStation(name, lognormal(seconds(mean), variation), (servers,))


DAY = ClinicDay(
    (40,) * 60, minutes(10), 0.08, normal(minutes(-5), minutes(8)),
    (
        _station("greet", 4, 45, 0.5), _station("screen", 8, 100, 0.6),
        _station("register", 6, 75, 0.5), _station("vaccinate", 12, 150, 0.5),
    ),
    (Stay(minutes(15), 0.95), Stay(minutes(30), 0.05)),
)  # fmt: skip


@pytest.fixture(scope="module")
def played():
    return clinic_days(DAY, 17, 0, 8000)


@pytest.mark.parametrize(
    ("name", "mean", "error"),
    [
        ("greet", 18.176, 0.020),
        ("screen", 13.743, 0.028),
        ("register", 11.879, 0.019),
        ("vaccinate", 6.276, 0.014),
    ],
)
def test_mean_waits_are_those_of_the_other_program(played, name, mean, error):
    found = estimate(played.mean_wait_s(name))

    assert abs(found.mean - mean) < 4 * (found.error**2 + error**2) ** 0.5


def test_the_mean_stay_is_that_of_the_other_program(played):
    """1365.043 s, standard error 0.058."""
    found = estimate(played.daily("stay in seconds"))

    assert abs(found.mean - 1365.043) < 4 * (found.error**2 + 0.058**2) ** 0.5


@pytest.mark.parametrize(
    ("figure", "mean", "half_a_digit"),
    [("most under observation", 78.31, 0.005), ("finish in seconds", 37_662, 0.5)],
)
def test_peak_and_finish_are_those_of_the_other_program(played, figure, mean, half_a_digit):
    """Their errors are not printed: taken as ours from 20,000 days, and half the last digit."""
    found = estimate(played.daily(figure))

    assert abs(found.mean - mean) < 4 * (found.error**2 * 1.4 + half_a_digit**2) ** 0.5


def test_as_many_come_as_are_booked_and_not_absent(played):
    """2,208 exactly in the mean; variance 2,400 * 0.08 * 0.92."""
    came = played.daily("people who came")

    assert abs(came.mean() - 2208) < 4 * (176.64 / 8000) ** 0.5
