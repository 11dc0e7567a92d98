"""One lot and the rest: by hand and beside SciPy's own exact test; figures made up."""

import pytest
from scipy.stats import binomtest

from thawline.base.errors import RecordError
from thawline.report.two_groups import Compared, Group, compared


def test_by_hand_with_equal_doses_each_case_is_a_coin():
    found = compared(Group(3, 100), Group(0, 100))

    assert found.p_one_sided == pytest.approx(1 / 8)
    assert found.p_mid == pytest.approx(1 / 16)
    assert (found.rate_ratio, found.upper) == (None, None)


@pytest.mark.parametrize(
    ("a", "b"), [((6, 900), (4, 4000)), ((1, 50), (9, 50)), ((0, 10), (3, 90))]
)
def test_it_agrees_with_an_independent_binomial_test(a, b):
    found = compared(Group(*a), Group(*b))
    share = a[1] / (a[1] + b[1])
    theirs = binomtest(a[0], a[0] + b[0], share, alternative="greater")
    ends = binomtest(a[0], a[0] + b[0], share).proportion_ci(0.95, method="exact")

    assert found.p_one_sided == pytest.approx(theirs.pvalue)
    assert found.lower == pytest.approx(ends.low / (1 - ends.low) * b[1] / a[1])
    assert found.upper == pytest.approx(ends.high / (1 - ends.high) * b[1] / a[1])


def test_where_nobody_had_it_nothing_is_known():
    assert compared(Group(0, 10), Group(0, 20)) == Compared(None, None, None, None, None)


@pytest.mark.parametrize(("cases", "doses"), [(3, 2), (-1, 2), (0, 0)])
def test_groups_that_cannot_be_are_refused(cases, doses):
    with pytest.raises(RecordError):
        Group(cases, doses)
