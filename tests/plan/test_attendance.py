"""How many of those booked come, against counting every case and other people's formulas."""

from itertools import product

import mpmath
import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy import stats

from thawline.plan.attendance import (
    chance_above,
    expected_left_over,
    expected_people,
    expected_turned_away,
    joined,
    least_enough,
    nobody,
)

CHANCES = st.lists(st.floats(0, 1), max_size=9)
SERVICES = st.floats(0.5, 0.999)


def _every_case(chances):
    """The distribution, by going through each combination of who comes."""
    people = [0.0] * (len(chances) + 1)
    for comes in product([False, True], repeat=len(chances)):
        weight = 1.0
        for did, chance in zip(comes, chances, strict=True):
            weight *= chance if did else 1 - chance
        people[sum(comes)] += weight
    return people


@given(CHANCES)
def test_the_distribution_is_that_of_counting_every_case(chances):
    assert joined(nobody(), chances) == pytest.approx(_every_case(chances), abs=1e-12)


@pytest.mark.parametrize(("booked", "chance"), [(1, 0.3), (40, 0.5), (720, 0.92), (2400, 0.92)])
def test_equal_chances_give_the_binomial_of_scipy(booked, chance):
    binomial = stats.binom.pmf(np.arange(booked + 1), booked, chance)

    assert joined(nobody(), [chance] * booked) == pytest.approx(binomial, rel=1e-8, abs=1e-300)


def test_tails_keep_their_digits_against_fifty_digits_of_mpmath():
    chances = [0.85 + 0.001 * k for k in range(120)]
    with mpmath.workdps(50):
        exact = [mpmath.mpf(1)]
        for chance in map(mpmath.mpf, chances):
            more = [mpmath.mpf(0), *(p * chance for p in exact)]
            exact = [
                a + p * (1 - chance) for a, p in zip(more, [*exact, mpmath.mpf(0)], strict=True)
            ]
        reference = [float(p) for p in exact]

    assert joined(nobody(), chances) == pytest.approx(reference, rel=1e-12)


@given(CHANCES)
def test_the_chances_add_up_to_one_and_the_mean_is_theirs(chances):
    people = joined(nobody(), chances)

    assert people.sum() == pytest.approx(1)
    assert expected_people(people) == pytest.approx(sum(chances))


@given(CHANCES)
def test_nobody_is_counted_differently_when_asked_in_another_order(chances):
    backwards = joined(nobody(), reversed(chances))

    assert joined(nobody(), chances) == pytest.approx(backwards, abs=1e-12)


@pytest.mark.parametrize(
    ("service", "enough"),
    [(0.0, 0), (0.25, 0), (0.26, 1), (0.75, 1), (0.76, 2), (0.9999999999999999, 2)],
)
def test_two_people_who_come_or_not_by_a_coin(service, enough):
    assert least_enough(joined(nobody(), [0.5, 0.5]), service) == enough


@given(CHANCES, SERVICES)
def test_enough_is_the_first_count_that_holds_the_promise(chances, service):
    people = joined(nobody(), chances)

    enough = least_enough(people, service)

    assert chance_above(people, enough) <= 1 - service
    assert enough == 0 or chance_above(people, enough - 1) > 1 - service


@given(CHANCES, SERVICES, SERVICES)
def test_a_higher_service_level_never_needs_less(chances, one, other):
    people = joined(nobody(), chances)

    assert least_enough(people, min(one, other)) <= least_enough(people, max(one, other))


@given(CHANCES, st.floats(0, 1), SERVICES)
def test_one_more_booking_never_needs_less(chances, chance, service):
    people = joined(nobody(), chances)

    assert least_enough(people, service) <= least_enough(joined(people, [chance]), service)


@given(CHANCES, st.integers(0, 12))
def test_doses_left_less_people_turned_away_is_doses_less_people(chances, doses):
    people = joined(nobody(), chances)

    balance = expected_left_over(people, doses) - expected_turned_away(people, doses)

    assert balance == pytest.approx(doses - sum(chances), abs=1e-9)


@given(CHANCES, st.integers(0, 12))
def test_people_turned_away_are_counted_case_by_case(chances, doses):
    every_case = _every_case(chances)
    away = sum(p * (n - doses) for n, p in enumerate(every_case) if n > doses)

    assert expected_turned_away(joined(nobody(), chances), doses) == pytest.approx(away)


def test_more_than_everybody_never_come():
    people = joined(nobody(), [0.9] * 3)

    assert chance_above(people, 3) == 0
    assert chance_above(people, -1) == pytest.approx(1)
