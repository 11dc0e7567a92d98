"""
Too few or too many doses for the people who come, against worked overbooking problems.

A6 of the project's methods table, read on 2026-11-25: the 16-seat sample and the 6-seat
problem were seen in print (a solver's overbooking sample; a textbook question) without their
results, which were computed there; one 10-dose vial for B booked was computed there. A seat
is a dose, a bumped guest a person turned away. Tolerance: half the last printed digit.
"""

import numpy as np
import pytest
from scipy.stats import norm

from thawline.plan.attendance import (
    expected_left_over,
    expected_people,
    expected_turned_away,
    joined,
    least_enough,
    nobody,
)
from thawline.plan.rolling import SurplusPrices


@pytest.mark.parametrize(
    ("no_show", "booked", "wasted", "turned_away"),
    [
        (0.15, 10, 1.5000, 0.0),
        (0.15, 11, 0.8173, 0.1673),
        (0.15, 12, 0.3857, 0.5857),
        (0.25, 10, 2.5, 0.0),
        (0.25, 11, 1.7922, 0.0422),
        (0.25, 12, 1.1901, 0.1901),
        (0.25, 13, 0.7331, 0.4831),
        (0.08, 10, 0.8, 0.0),
        (0.08, 11, 0.2796, 0.3996),
    ],
)
def test_one_vial_for_so_many_booked(no_show, booked, wasted, turned_away):
    people = joined(nobody(), [1 - no_show] * booked)

    assert expected_left_over(people, 10) == pytest.approx(wasted, abs=5e-5)
    assert expected_turned_away(people, 10) == pytest.approx(turned_away, abs=5e-5)


def _net(booked):
    people = joined(nobody(), [0.96] * booked)
    bumped = expected_turned_away(people, 16)
    return 225 * (expected_people(people) - bumped) - 100 * bumped


def test_sixteen_seats_earn_most_with_seventeen_booked():
    assert _net(16) == pytest.approx(3456.000, abs=5e-4)
    assert _net(17) == pytest.approx(3509.634, abs=5e-4)
    assert _net(18) < _net(17) > _net(16)


def test_the_newsvendor_of_mean_100_and_prices_5_and_3_orders_106():
    service, _ = SurplusPrices(person=5, chilled=3, on_table=3).services()

    assert norm.ppf(service, 100, 20) == pytest.approx(106.3728, abs=5e-5)


FREQUENCIES = np.array([6, 5, 4, 3, 2]) / 20


def test_six_seats_are_best_overbooked_by_one():
    profits = []
    for overbooked in (0, 1, 2, 3):
        shows = np.zeros(7 + overbooked)
        shows[6 + overbooked - np.arange(5)] = FREQUENCIES
        bumped = expected_turned_away(shows, 6)
        profits.append(40 * (expected_people(shows) - bumped) - 60 * bumped)

    assert profits == pytest.approx([180, 190, 175, 140], abs=1e-9)
    assert least_enough(FREQUENCIES, 0.4) == 1
