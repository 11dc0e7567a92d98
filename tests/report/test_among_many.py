"""Many comparisons at once, and what may be shared; figures made up."""

import pytest

from thawline.base.errors import RecordError
from thawline.report.among_many import adjusted, shareable


def test_by_hand_the_larger_of_two_bounds_the_smaller():
    assert adjusted([0.04, 0.03]) == pytest.approx((0.04, 0.04))
    assert adjusted([0.01, 0.5]) == pytest.approx((0.02, 0.5))


def test_nothing_compared_is_nothing_adjusted():
    assert adjusted([]) == ()


@pytest.mark.parametrize("p", [-0.1, 1.1, float("nan")])
def test_a_p_value_outside_its_range_is_refused(p):
    with pytest.raises(RecordError, match="p-value"):
        adjusted([0.5, p])


def test_a_small_count_is_not_shared_and_the_sum_does_not_tell_it():
    assert shareable({"a": 3, "b": 8, "c": 20}) == {"a": None, "b": None, "c": 20}


def test_two_small_counts_hide_each_other():
    assert shareable({"a": 3, "b": 1, "c": 20}) == {"a": None, "b": None, "c": 20}


def test_five_and_none_may_be_shared():
    assert shareable({"a": 5, "b": 0}) == {"a": 5, "b": 0}


def test_where_all_others_are_none_one_of_them_goes_with_it():
    assert shareable({"a": 2, "b": 0, "c": 0}) == {"a": None, "b": None, "c": 0}


def test_counts_of_one_would_be_told_by_their_sum_so_another_goes_with_them():
    assert shareable({"a": 1, "b": 1, "c": 20, "d": 30}) == {
        "a": None,
        "b": None,
        "c": None,
        "d": 30,
    }
    assert shareable({"a": 1, "b": 2, "c": 20}) == {"a": None, "b": None, "c": 20}
