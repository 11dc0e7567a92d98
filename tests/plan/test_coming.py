"""How many people come in each slot; made-up days."""

from datetime import timedelta

import pytest
from tests.cast import at

from thawline.base.errors import RecordError
from thawline.plan.coming import Due, coming, nearly_most

START = at("17:00")
SLOT = timedelta(minutes=5)


def test_each_person_comes_in_the_slot_of_their_place():
    found = coming([Due(at("17:09"), 0.9), Due(at("17:10"), 0.5)], START, SLOT, 3, 0)

    assert found.tolist() == [[1, 0], pytest.approx([0.1, 0.9]), [0.5, 0.5]]


def test_two_in_one_slot_come_each_by_themselves():
    found = coming([Due(START, 0.5), Due(START, 0.5)], START, SLOT, 1, 0)

    assert found.tolist() == [pytest.approx([0.25, 0.5, 0.25])]


def test_who_was_due_before_counts_first_and_who_is_due_after_counts_last():
    found = coming([Due(at("16:50"), 1), Due(at("19:00"), 1)], START, SLOT, 2, 0)

    assert found.tolist() == [[0, 1], [0, 1]]


def test_walk_ups_come_at_random():
    # Poisson with mean 2: nobody with chance exp(-2) = 0.1353352832 (any table).
    (row,) = coming([], START, SLOT, 1, 2.0)

    assert row[0] == pytest.approx(0.1353352832, abs=1e-10)
    assert row.sum() == pytest.approx(1)


def test_a_number_that_is_hardly_ever_passed():
    assert nearly_most(coming([Due(START, 0.5)] * 3, START, SLOT, 2, 0)) == 3


@pytest.mark.parametrize("walking", [-0.1, float("nan"), float("inf")])
def test_walk_ups_that_are_no_number_are_refused(walking):
    with pytest.raises(RecordError):
        coming([], START, SLOT, 1, walking)
