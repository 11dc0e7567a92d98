"""Looking now and then: against direct sums, figures made up."""

import math

import pytest

from thawline.base.errors import RecordError
from thawline.report.looks import boundary, chance_over_looks


def _poisson_tail(least, mean):
    return 1 - sum(math.exp(-mean) * mean**k / math.factorial(k) for k in range(least))


def test_one_look_is_a_plain_poisson_test():
    found = boundary([4.0], alpha=0.05)

    assert found.attained_alpha == pytest.approx(_poisson_tail(9, 4.0))
    assert _poisson_tail(9, 4.0) < 0.05 < _poisson_tail(8, 4.0)


def test_fewer_than_the_least_number_of_cases_never_signal():
    found = boundary([0.5], alpha=0.05, min_cases=3)

    assert found.attained_alpha == pytest.approx(_poisson_tail(3, 0.5))


def test_a_second_look_can_only_add_to_the_chance():
    assert chance_over_looks([3, 6], 2.0) > chance_over_looks([3], 2.0)


@pytest.mark.parametrize("looks", [[], [0, 1], [2, 2], [3, 1]])
def test_looks_that_do_not_grow_are_refused(looks):
    with pytest.raises(RecordError, match="looks"):
        boundary(looks, 0.05)


def test_alpha_must_be_a_chance():
    with pytest.raises(RecordError, match="alpha"):
        boundary([1], 0)
