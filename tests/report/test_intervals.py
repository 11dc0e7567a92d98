"""Ranges around counts and shares; against mpmath and the definition, figures made up."""

import mpmath
import pytest

from thawline.base.errors import RecordError
from thawline.report.intervals import against, count_range, rate_of, share_range


@pytest.mark.parametrize(("cases", "of"), [(1, 20), (3, 700), (19, 20), (50, 100)])
def test_each_end_of_a_share_leaves_just_one_fortieth_beyond_it(cases, of):
    lower, upper = share_range(cases, of)

    def tail(share, counts):
        return sum(
            mpmath.binomial(of, k)
            * mpmath.mpf(share) ** k
            * (1 - mpmath.mpf(share)) ** (of - k)
            for k in counts
        )

    assert float(tail(lower, range(cases, of + 1))) == pytest.approx(0.025, rel=1e-9)
    assert float(tail(upper, range(cases + 1))) == pytest.approx(0.025, rel=1e-9)


@pytest.mark.parametrize("count", [1, 4, 30])
def test_each_end_of_a_count_leaves_just_one_fortieth_beyond_it(count):
    lower, upper = count_range(count)

    assert float(mpmath.gammainc(count, 0, lower, regularized=True)) == pytest.approx(0.025)
    assert float(mpmath.gammainc(count + 1, upper, regularized=True)) == pytest.approx(0.025)


def test_nobody_and_everybody_have_an_open_end():
    assert share_range(0, 50)[0] == 0.0
    assert share_range(50, 50)[1] == 1.0
    assert count_range(0)[0] == 0.0


def test_a_rate_is_per_so_many_doses():
    found = rate_of(3, 600, per=1000)

    assert (found.rate, found.per) == (5.0, 1000)


@pytest.mark.parametrize(
    ("cases", "doses", "per"), [(4, 3, 1), (-1, 3, 1), (0, 0, 1), (1, 3, 0)]
)
def test_cases_that_cannot_be_are_refused(cases, doses, per):
    with pytest.raises(RecordError):
        rate_of(cases, doses, per)


def test_seen_is_above_only_when_the_whole_range_is():
    assert against(9, 2.0).is_above
    assert not against(3, 2.0).is_above
    assert against(1, 9.0).is_below
    assert not against(1, 2.0).is_below


@pytest.mark.parametrize("expected", [0.0, -1.0, float("inf"), float("nan")])
def test_an_expected_number_that_is_none_is_refused(expected):
    with pytest.raises(RecordError, match="expected"):
        against(1, expected)


def test_a_count_below_zero_and_a_level_that_is_none_are_refused():
    with pytest.raises(RecordError, match="-1"):
        count_range(-1)
    with pytest.raises(RecordError, match="level"):
        count_range(1, level=1.0)
