"""
Kulldorff, Davis, Kolczak, Lewis, Lieu, Platt: A maximized sequential probability ratio test for
drug and vaccine safety surveillance. Sequential Analysis 30 (2011) 58-78, tables 1 to 3.

The values were read on 2026-11-25 in a public replication script that does not name the paper
(which paper it is: from memory); the column at 0.05 is confirmed by the source of a public
statistics package, which also gives the critical values with a minimum number of events.
"""

import pytest

from thawline.report.sequential import Plan, critical_value, log_likelihood_ratio, prospect

TABLE_1 = {
    0.1: (2.044069, 4.119293, 6.579669),
    0.5: (2.637928, 4.483740, 7.034472),
    1: (2.853937, 4.670428, 7.172614),
    5: (3.297183, 5.091907, 7.569312),
    10: (3.467952, 5.260513, 7.724863),
    20: (3.628123, 5.414770, 7.877573),
    100: (3.952321, 5.738974, 8.199403),
}
MORE_AT_5_PERCENT = {
    15: 3.562591, 30: 3.715764, 200: 4.074828, 500: 4.222632, 1000: 4.324917,
}  # fmt: skip
MINIMUM_EVENTS = [
    (1, 3, 1.774217846),
    (5, 4, 2.623668472),
    (10, 2, 3.238008707),
    (10, 4, 2.921561330),
    (20, 4, 3.176370322),
]
ALPHAS = (0.05, 0.01, 0.001)
CELLS = [(t, a, c) for t, row in TABLE_1.items() for a, c in zip(ALPHAS, row, strict=True)]


@pytest.mark.parametrize(("horizon", "alpha", "printed"), CELLS)
def test_the_critical_value_is_the_printed_one(horizon, alpha, printed):
    assert critical_value(Plan(horizon, 1, alpha)) == pytest.approx(printed, abs=6e-7)


@pytest.mark.parametrize(("horizon", "printed"), MORE_AT_5_PERCENT.items())
def test_the_critical_value_of_long_surveillance_is_the_printed_one(horizon, printed):
    assert critical_value(Plan(horizon, 1, 0.05)) == pytest.approx(printed, abs=6e-7)


@pytest.mark.parametrize(("horizon", "least", "printed"), MINIMUM_EVENTS)
def test_a_minimum_of_events_lowers_it_to_the_printed_one(horizon, least, printed):
    assert critical_value(Plan(horizon, least, 0.05)) == pytest.approx(printed, abs=1e-7)


@pytest.mark.parametrize(
    ("horizon", "rate_ratio", "power"), [(10, 2, 0.685), (1, 5, 0.729), (100, 1.2, 0.368)]
)
def test_the_power_is_that_of_table_2(horizon, rate_ratio, power):
    plan = Plan(horizon, 1, 0.05)

    assert prospect(plan, critical_value(plan), rate_ratio).power == pytest.approx(
        power, abs=0.0005
    )


@pytest.mark.parametrize(
    ("horizon", "rate_ratio", "to_signal", "length"),
    [(10, 2, 4.13, 5.98), (20, 1.5, 8.68, 14.91), (5, 3, 1.78, 2.18), (1, 5, 0.37, 0.54),
     (100, 1.2, 43.78, 79.28)],
)  # fmt: skip
def test_the_times_are_those_of_table_3(horizon, rate_ratio, to_signal, length):
    plan = Plan(horizon, 1, 0.05)

    told = prospect(plan, critical_value(plan), rate_ratio)

    assert told.time_to_signal == pytest.approx(to_signal, abs=0.005)
    assert told.expected_length == pytest.approx(length, abs=0.005)


def test_the_ratio_of_the_worked_example():
    assert log_likelihood_ratio(6, 2.5) == pytest.approx(1.752812424, abs=5e-10)
