"""
Doses wasted in opened vials, against printed tables of the closed form.

A7: "Opened-vial waste, closed form", the project's methods table, verified there against
direct sums to 1e-9; six decimals printed. D42: "Session size effect" of the clinical table,
expected rate = 1 - m / E[v ceil(N/v)], two decimals of a percent; computed there, as no
published session-by-vial table could be reached, and the published papers (Lee et al.,
Vaccine 2010;28:5292; Wedlock et al., Vaccine 2019;37:2356) agree in direction only. Both
tables were read on 2026-11-25. Tolerance: half the last printed digit.
"""

import pytest

from thawline.plan.opened_waste import waste_of_bookings, waste_of_stream

SIX_DECIMALS = 5e-7
FOUR_DECIMALS = 5e-5


@pytest.mark.parametrize(
    ("doses_per_vial", "expected", "wasted", "vials", "share"),
    [
        (5, 5, 1.955329, 1.391066, 0.281127),
        (10, 1, 5.321206, 0.632121, 0.841802),
        (10, 2, 6.646730, 0.864673, 0.768699),
        (10, 5, 5.069574, 1.006957, 0.503455),
        (10, 10, 4.185032, 1.418503, 0.295032),
        (10, 20, 4.435958, 2.443596, 0.181534),
        (10, 100, 4.500000, 10.450000, 0.043062),
        (20, 10, 10.030857, 1.001543, 0.500770),
    ],
)
def test_a_random_stream_of_people_wastes_what_table_a7_prints(
    doses_per_vial, expected, wasted, vials, share
):
    opened = waste_of_stream(expected, doses_per_vial)

    assert opened.expected_wasted == pytest.approx(wasted, abs=SIX_DECIMALS)
    assert opened.expected_vials == pytest.approx(vials, abs=SIX_DECIMALS)
    assert opened.waste_share == pytest.approx(share, abs=SIX_DECIMALS)


@pytest.mark.parametrize(
    ("booked", "no_show", "wasted"),
    [
        (10, 0.10, 1.000000),
        (12, 0.15, 4.234596),
        (24, 0.15, 4.648777),
        (240, 0.08, 4.575819),
        (2400, 0.08, 4.500000),
    ],
)
def test_bookings_with_no_shows_waste_what_table_a7_prints(booked, no_show, wasted):
    opened = waste_of_bookings(booked, no_show, 10)

    assert opened.expected_wasted == pytest.approx(wasted, abs=SIX_DECIMALS)


def test_a_large_day_wastes_the_share_that_table_a7_prints():
    assert waste_of_bookings(2400, 0.08, 10).waste_share == pytest.approx(0.002034, abs=5e-7)


@pytest.mark.parametrize(("tables", "wasted"), [(1, 4.5000), (4, 18.0015), (12, 54.9407)])
def test_a_vial_for_each_table_wastes_what_table_a7_prints(tables, wasted):
    opened = waste_of_bookings(2400, 0.08, 10, tables)

    assert opened.expected_wasted == pytest.approx(wasted, abs=FOUR_DECIMALS)


SESSION_SIZES = (1, 2, 3, 5, 10, 20, 30, 50, 100, 200, 500)
RATES_PERCENT = {
    2: (30.18, 19.71, 14.26, 9.09, 4.76, 2.44, 1.64, 0.99, 0.50, 0.25, 0.10),
    10: (84.18, 76.87, 68.44, 50.35, 29.50, 18.15, 13.02, 8.26, 4.31, 2.20, 0.89),
}


@pytest.mark.parametrize(
    ("doses_per_vial", "people", "percent"),
    [
        (doses, people, percent)
        for doses, row in RATES_PERCENT.items()
        for people, percent in zip(SESSION_SIZES, row, strict=True)
    ],
)
def test_small_sessions_waste_the_share_that_row_d42_prints(doses_per_vial, people, percent):
    share = waste_of_stream(people, doses_per_vial).waste_share

    assert 100 * share == pytest.approx(percent, abs=0.005 + 1e-9)


@pytest.mark.parametrize(
    ("people", "percent", "half_a_digit"),
    [
        (1, 90, 0.5),
        (5, 50, 0.5),
        (11, 45, 0.5),
        (15, 25, 0.5),
        (25, 16.7, 0.05),
        (95, 5, 0.5),
        (101, 8.2, 0.05),
    ],
)
def test_a_fixed_number_of_people_wastes_the_share_that_row_d42_prints(
    people, percent, half_a_digit
):
    share = waste_of_bookings(people, 0.0, 10).waste_share

    assert 100 * share == pytest.approx(percent, abs=half_a_digit)
