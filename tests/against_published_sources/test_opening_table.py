"""
Opening policy of a day, against the table of the methods (F1) of this project's design.

Computed there beside the design by another program and by brute force (no published counterpart
is claimed); read on 2026-11-25. A day of 10 hours in slots of 10 minutes, vials of ten doses
with a life of 36 slots, bookings spread evenly, holding priced at half a dose a person and
slot. Doses wasted and people asked to come back have two printed decimals.
"""

import numpy as np
import pytest
from scipy.stats import binom

from thawline.plan.opening import OpeningDay, Prices, policy

SLOTS = 60
HALF = 0.00501  # half of the last printed digit


def _day(booked, no_show, **more):
    ends = [booked * slot // SLOTS for slot in range(SLOTS + 1)]
    each = np.diff(ends)
    most = np.arange(each.max() + 1)
    arrivals = np.array([binom.pmf(most, count, 1 - no_show) for count in each])
    return OpeningDay(arrivals, doses_per_vial=10, life_slots=36, hold_most=SLOTS, **more)


@pytest.mark.parametrize(
    ("booked", "no_show", "price", "wasted", "asked_back"),
    [
        (10, 0.15, 2, 3.90, 2.40), (10, 0.15, 3, 10.07, 0.27), (10, 0.15, 5, 10.07, 0.09),
        (10, 0.15, 10, 10.00, 0.00), (24, 0.15, 2, 0.72, 0.79), (24, 0.15, 3, 1.48, 0.51),
        (24, 0.15, 5, 2.88, 0.20), (24, 0.15, 10, 4.65, 0.00), (240, 0.08, 2, 2.06, 0.62),
        (240, 0.08, 3, 2.77, 0.32), (240, 0.08, 5, 3.62, 0.11), (240, 0.08, 10, 4.58, 0.00),
    ],
)  # fmt: skip
def test_the_best_choices_lead_to_the_printed_figures(
    booked, no_show, price, wasted, asked_back
):
    best = policy(_day(booked, no_show), Prices(1, price, 0.5)).best

    assert best.doses_wasted == pytest.approx(wasted, abs=HALF)
    assert best.people_asked_back == pytest.approx(asked_back, abs=HALF)


@pytest.mark.parametrize(
    ("booked", "no_show", "wasted"), [(24, 0.15, 4.6488), (240, 0.08, 4.5758)]
)
def test_open_when_asked_wastes_what_the_closed_form_says(booked, no_show, wasted):
    asked = policy(_day(booked, no_show), Prices(1, 3, 0.5)).open_when_asked

    assert asked.doses_wasted == pytest.approx(wasted, abs=5e-5)


def test_ten_people_over_ten_hours_waste_more_than_a_vial():
    asked = policy(_day(10, 0.15), Prices(1, 3, 0.5)).open_when_asked

    assert asked.doses_wasted == pytest.approx(11.48, abs=HALF)


@pytest.mark.parametrize(
    ("booked", "no_show", "price", "wasted", "asked_back"),
    [(240, 0.08, 2, 1.08, 0.32), (240, 0.08, 3, 1.61, 0.11), (24, 0.15, 3, 1.51, 0.20)],
)
def test_six_standby_names_of_which_half_come(booked, no_show, price, wasted, asked_back):
    """Names are also called when a vial's life ends; the table called at the close only."""
    best = policy(_day(booked, no_show, standby=6, takes=0.5), Prices(1, price, 0.5)).best

    assert wasted - 0.015 <= best.doses_wasted <= wasted + HALF
    assert best.people_asked_back == pytest.approx(asked_back, abs=HALF)


def test_a_tiny_day_by_brute_force():
    """T 3, L 2, 0 to 2 people with chances .3 .4 .3, a person 3, holding .05."""
    day = OpeningDay(np.array([[0.3, 0.4, 0.3]] * 3), 10, 2, hold_most=3)
    found = policy(day, Prices(1, 3, 0.05))

    assert found.best.cost == pytest.approx(5.728, abs=1e-12)
    assert found.open_when_asked.cost == pytest.approx(11.63, abs=1e-12)
