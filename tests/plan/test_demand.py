"""How many come by each half-hour: against scipy.stats.betabinom, mpmath, and every case."""

from itertools import product

import mpmath
import numpy as np
import pytest
from scipy.stats import betabinom, poisson

from thawline.base.errors import RecordError
from thawline.plan.attendance import chance_above, expected_people, joined, nobody
from thawline.plan.day_kinds import DaySpread, Seen, day_kinds
from thawline.plan.demand import ON_TIME, Party, arrived_by, checked_shifts, people_by

ALIKE = day_kinds(DaySpread(0.08, 0.0))


def test_one_group_on_unlike_days_is_beta_binomial():
    kinds = day_kinds(DaySpread(0.08, 0.03))
    people = people_by([Party(0.08, 240, (1.0,))], [0.0], kinds)[0]

    right = betabinom.pmf(np.arange(241), 240, 74.3155555556, 6.4622222222)
    assert people[:241] == pytest.approx(right, abs=1e-9)


def test_after_half_the_day_it_is_beta_binomial_with_what_was_seen():
    kinds = day_kinds(DaySpread(0.08, 0.03), [Seen(0.08, came=100, not_yet=20)])
    people = people_by([Party(0.08, 120, (1.0,))], [0.0], kinds)[0]

    right = betabinom.pmf(np.arange(121), 120, 74.3155555556 + 100, 6.4622222222 + 20)
    assert people[:121] == pytest.approx(right, abs=1e-9)


def test_the_worked_example_of_the_background_page():
    kinds = day_kinds(DaySpread(0.08, 0.03), [Seen(0.08, came=100, not_yet=20)])
    afternoon = people_by([Party(0.08, 120, (1.0,))], [0.0], kinds)[0]

    # by hand: (6.4622 + 20) / (6.4622 + 74.3156 + 120) = 26.4622 / 200.7778 = 0.1318
    assert kinds.mean_no_show(0.08) == pytest.approx(0.1318, abs=5e-5)
    assert expected_people(afternoon) == pytest.approx(104.2, abs=0.05)


def test_the_chance_that_all_of_them_come_is_the_beta_integral_of_mpmath():
    kinds = day_kinds(DaySpread(0.2, 0.1))
    people = people_by([Party(0.2, 30, (1.0,))], [0.0], kinds)[0]

    mpmath.mp.dps = 30
    right = mpmath.quad(lambda q: (1 - q) ** 30 * q**2 * (1 - q) ** 11, [0, 0.5, 1])
    right /= mpmath.beta(3, 12)
    assert people[30] == pytest.approx(float(right), rel=1e-9)


def test_groups_come_together_as_each_by_themselves_when_days_are_alike():
    people = people_by([Party(0.1, 3, (1.0,)), Party(0.5, 2, (1.0,))], [0.0], ALIKE)[0]

    one_by_one = joined(nobody(), [0.9] * 3 + [0.5] * 2)
    assert people[:6] == pytest.approx(one_by_one, abs=1e-14)


def test_every_case_of_late_people_and_a_bad_day():
    parties = [Party(0.25, 2, (0.5, 1.0)), Party(0.25, 1, (0.0, 0.75))]
    kinds = day_kinds(DaySpread(0.25, 0.0))
    by_end = people_by(parties, [0.0, 0.0], kinds)

    right = np.zeros(4)
    comes = (0.75, 0.75, 0.75 * 0.75)
    for case in product((0, 1), repeat=3):
        right[sum(case)] += np.prod(
            [p if here else 1 - p for p, here in zip(comes, case, strict=True)]
        )
    assert by_end[1][:4] == pytest.approx(right, abs=1e-14)
    assert expected_people(by_end[0]) == pytest.approx(2 * 0.75 * 0.5)


def test_somebody_late_still_comes_with_the_chance_that_is_left():
    # 0.75 come at all, half of them were due by now: 0.375 of the 0.625 who are not here
    party = Party(0.25, 1, (1.0,), arrived_share=0.5)
    people = people_by([party], [0.0], day_kinds(DaySpread(0.25, 0.0)))[0]

    assert people[1] == pytest.approx(0.6, abs=1e-14)


def test_walk_ups_alone_are_poisson():
    people = people_by([], [3.0], ALIKE)[0]

    assert people == pytest.approx(poisson.pmf(np.arange(people.size), 3.0), abs=1e-12)


def test_a_bad_day_for_one_is_a_bad_day_for_all():
    both = [Party(0.1, 20, (1.0,)), Party(0.1, 20, (1.0,))]
    alike = people_by(both, [0.0], day_kinds(DaySpread(0.1, 0.0)))[0]
    unlike = people_by(both, [0.0], day_kinds(DaySpread(0.1, 0.05)))[0]

    assert chance_above(unlike, 39) > 2 * chance_above(alike, 39)
    assert expected_people(unlike) == pytest.approx(36, abs=1e-7)


def test_the_share_that_is_here_adds_up_the_table_of_shifts():
    shifts = checked_shifts({-1: 0.25, 0: 0.5, 2: 0.25})

    assert [arrived_by(shifts, k) for k in (-2, -1, 0, 1, 2)] == [0, 0.25, 0.75, 0.75, 1]
    assert arrived_by(ON_TIME, 0) == 1


@pytest.mark.parametrize("shifts", [{}, {0: 0.9}, {0: 1.5, 1: -0.5}])
def test_a_table_of_shifts_that_is_not_whole_is_refused(shifts):
    with pytest.raises(RecordError, match="early and late"):
        checked_shifts(shifts)
