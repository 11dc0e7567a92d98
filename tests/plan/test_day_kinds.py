"""
Good days and bad days, against scipy.stats.beta and betabinom, and figures worked by hand.

The chi square limit of the spread is that of printed tables: 0.584 for 3 degrees at 10 %.
"""

import numpy as np
import pytest
from scipy.stats import beta

from thawline.base.errors import RecordError
from thawline.plan.day_kinds import (
    DaySpread,
    Seen,
    day_kinds,
    is_unusual,
    learned_spread,
    widest,
)


def test_eight_in_a_hundred_by_three_points_is_the_beta_of_6_46_and_74_3():
    ours = DaySpread(0.08, 0.03).beta

    assert ours == pytest.approx((6.4622, 74.3156), abs=5e-5)
    assert beta(*ours).std() == pytest.approx(0.03, abs=1e-12)


def test_the_kinds_of_day_have_the_mean_and_the_spread_of_the_beta():
    kinds = day_kinds(DaySpread(0.08, 0.03))
    shares = kinds.no_show(0.08)

    assert kinds.mean_no_show(0.08) == pytest.approx(0.08, abs=1e-9)
    assert kinds.weights @ (shares - 0.08) ** 2 == pytest.approx(0.0009, abs=1e-10)


def test_who_came_so_far_moves_the_days_share_as_bayes_says():
    kinds = day_kinds(DaySpread(0.08, 0.03), [Seen(0.08, came=170, not_yet=30)])
    a, b = 6.462222 + 30, 74.315556 + 170

    assert kinds.mean_no_show(0.08) == pytest.approx(a / (a + b), abs=1e-7)


def test_those_who_may_still_be_on_their_way_say_less_than_those_who_cannot():
    day = DaySpread(0.08, 0.03)
    late = day_kinds(day, [Seen(0.08, 50, 50, arrived_share=0.5)]).mean_no_show(0.08)
    gone = day_kinds(day, [Seen(0.08, 50, 50)]).mean_no_show(0.08)

    assert late < gone


def test_a_group_that_is_sure_to_come_stays_sure_on_a_bad_day():
    kinds = day_kinds(DaySpread(0.08, 0.03), [Seen(0.0, 5, 0), Seen(0.08, 0, 9)])

    assert kinds.no_show(0.0).max() == 0
    assert kinds.mean_no_show(0.08) > 0.08


def test_days_that_are_all_alike_are_one_kind():
    kinds = day_kinds(DaySpread(0.08, 0.0), [Seen(0.08, 1, 99)])

    assert kinds.no_show(0.08) == pytest.approx([0.08])


def test_the_widest_spread_still_has_its_hump_at_the_edge():
    assert DaySpread(0.1, widest(0.1)).beta == pytest.approx((1, 9), abs=1e-9)
    assert widest(0.0) == 0


def test_with_too_few_days_the_spread_is_the_widest_and_says_so():
    found = learned_spread([(100, 8), (100, 12)])

    assert found.mean == pytest.approx(0.1)
    assert found.spread == widest(0.1)
    assert "too few days" in found.says
    assert learned_spread([]) is None


def test_the_spread_of_four_days_is_its_upper_limit_less_what_chance_explains():
    found = learned_spread([(1000, 60), (1000, 80), (1000, 100), (1000, 120)])

    # by hand: sample variance 0.0006667, three degrees: 0.0006667 * 3 / 0.5844 = 0.003422
    # less 0.09 * 0.91 / 1000 = 0.0000819, and a quarter of 0.003422 for the mean
    assert found.spread == pytest.approx(np.sqrt(0.003422 - 0.0000819 + 0.0008556), abs=2e-5)


def test_the_true_spread_is_not_above_the_learned_one_nine_times_in_ten():
    chance = np.random.default_rng(20260203)
    above = 0
    for _ in range(400):
        shares = chance.beta(6.46, 74.3, 8)
        days = [(500, int(chance.binomial(500, share))) for share in shares]
        above += learned_spread(days).spread < 0.03

    assert above / 400 < 0.1 + 4 * np.sqrt(0.09 / 400)


def test_a_share_above_that_of_nine_days_in_ten_is_unusual():
    # a beta of 1 and 9: above x with (1 - x) ** 9; a tenth is at 1 - 0.1 ** (1 / 9) = 0.2257
    day = DaySpread(0.1, widest(0.1))

    assert not is_unusual(day, 0.225)
    assert is_unusual(day, 0.227)
    assert not is_unusual(DaySpread(0.1, 0.0), 0.9)


@pytest.mark.parametrize(("mean", "spread"), [(0.08, 0.2), (0.08, -0.01), (0.0, 0.1), (1.2, 0)])
def test_a_spread_that_cannot_be_is_refused(mean, spread):
    with pytest.raises(RecordError, match="no-show"):
        DaySpread(mean, spread)
