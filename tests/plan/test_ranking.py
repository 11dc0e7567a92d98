"""
Selection with a promise, on made-up staffings of which the best is known.

The guarantee is tried where it is hardest: every rival is just as much worse as counts. All
numbers are invented; observations are normal and share most of their chance, as the same days
make it.
"""

import math

import numpy as np
import pytest
from scipy.stats import binom

from thawline.base.errors import RecordError
from thawline.plan.ranking import DAYS_EACH, ranked
from thawline.plan.same_days import Late
from thawline.plan.selection import Sure

SURE = Sure(share=0.9, close=0.02, first=10)
COME = 100.0
MANY = 100_000


def days_of(shares, seed, together=0.1, alone=0.02, *, skewed=False):
    """
    Return what plays made-up days: shares of people late, by staffing and half hour.

    `together`: the chance that all staffings share on a day; `alone`: their own.
    """
    shares = np.asarray(shares, float)
    halves = shares.shape[1]

    def play(numbers, first, days):
        dice = np.random.default_rng((seed, first))
        draw = (lambda n: dice.exponential(size=n) - 1) if skewed else dice.standard_normal
        own = draw((len(numbers), days, halves)) * alone
        late = (shares[numbers][:, None] + draw((days, halves)) * together + own) * COME
        return Late(np.full((days, halves), COME), late)

    return play


def selected(people, shares, seed, sure=SURE, **chance):
    *_, last = ranked(people, 0.9, sure, days_of(shares, seed, **chance), MANY)
    return last


def at_least(promised, times):
    """Return how often at least, so that only one run in a thousand falls short by chance."""
    return int(binom.ppf(0.001, times, promised))


@pytest.mark.parametrize("skewed", [False, True], ids=["normal", "skewed"])
def test_the_right_one_is_selected_as_often_as_promised(skewed):
    # 5 people break the promise of 10 % by what counts, in one half hour; 7 are too many; of
    # those with 6 one has fewer late by what counts, over the day. Nothing could be harder.
    people = [5] * 6 + [6] * 4 + [7]
    bad, good, best = (0.04, 0.12), (0.08, 0.04), (0.04, 0.04)  # 0.06 and 0.04 of a day
    shares = [bad] * 6 + [good, good, best, good] + [(0.0, 0.0)]

    right = sum(
        selected(people, shares, seed, alone=0.1, skewed=skewed).best == 8
        for seed in range(150)
    )

    assert right >= at_least(SURE.share, 150)


def test_chance_that_all_share_does_not_blur_a_comparison():
    # With the same days for all only the chance of their own counts: less of it, fewer days.
    few = selected([3, 3], [(0.05,), (0.08,)], seed=1, together=0.3, alone=0.01)
    many = selected([3, 3], [(0.05,), (0.08,)], seed=1, together=0.3, alone=0.2)

    assert few.best == 0
    assert few.more_days == SURE.first * DAYS_EACH
    assert many.more_days > 2 * few.more_days


def test_one_broken_half_hour_is_enough_to_be_left_out():
    found = selected([2, 4], [(0.0, 0.2, 0.0), (0.0, 0.0, 0.0)], seed=3)

    assert (found.best, found.people, found.broken) == (1, 4, 1)
    assert found.final


def test_where_none_keeps_it_none_is_named():
    found = selected([2, 3], [(0.2,), (0.15,)], seed=4)

    assert (found.best, found.late_share, found.broken, found.final) == (None, None, 2, True)


def test_a_rank_that_days_do_not_settle_says_what_is_open():
    play = days_of([(0.1,), (0.1,)], seed=5, together=2.0)

    *_, last = ranked([2, 2], 0.9, SURE, play, SURE.first * DAYS_EACH)

    assert (last.final, last.undecided, last.days) == (False, 2, 50)


def test_rivals_that_days_do_not_settle_are_named_with_their_error():
    play = days_of([(0.0,), (0.0,)], seed=5, together=0.0, alone=0.15)

    *_, last = ranked([2, 2], 0.9, SURE, play, 100)

    assert (last.final, last.rivals) == (False, 2)
    assert last.error == pytest.approx(0.15 / math.sqrt(last.more_days), rel=0.5)


def test_more_people_than_needed_are_never_looked_at_to_the_end():
    asked = []
    inner = days_of([(0.0,), (0.099,)], seed=6)

    def play(numbers, first, days):
        asked.append(list(numbers))
        return inner(numbers, first, days)

    *_, last = ranked([1, 2], 0.9, SURE, play, MANY)

    assert last.best == 0
    assert asked == [[0, 1], [0]]


def test_half_hours_in_which_hardly_anybody_comes_are_left_aside():
    inner = days_of([(0.5, 0.0)], seed=7)

    def play(numbers, first, days):
        found = inner(numbers, first, days)
        return Late(found.came * [0.005, 1.0], found.late * [0.005, 1.0])

    *_, last = ranked([2], 0.9, SURE, play, MANY)

    assert last.best == 0


def test_a_day_on_which_hardly_anybody_comes_is_refused():
    def play(numbers, _, days):
        return Late(np.zeros((days, 2)), np.zeros((len(numbers), days, 2)))

    with pytest.raises(RecordError, match="hardly anybody comes"):
        next(ranked([2], 0.9, SURE, play, MANY))


def test_no_staffings_and_too_few_days_are_refused():
    play = days_of([(0.0,)], seed=1)

    with pytest.raises(RecordError, match="no staffing"):
        next(ranked([], 0.9, SURE, play, MANY))
    with pytest.raises(RecordError, match="49 days"):
        next(ranked([1], 0.9, SURE, play, 49))
