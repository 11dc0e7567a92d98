"""Means with their error, and when to stop; made-up figures."""

import numpy as np
import pytest

from thawline.base.errors import RecordError
from thawline.plan.flow_outcome import (
    Estimate,
    Outcome,
    Precision,
    estimate,
    joined,
    until_precise,
)

FINISH = 6


def _block(first, *finishes, seed=1):
    figures = np.zeros((len(finishes), 9))
    figures[:, FINISH] = finishes
    return Outcome(("desk",), seed, first, figures)


WANTED = Precision("finish in seconds", 1.0, 4)


def test_the_error_is_the_deviation_over_the_root_of_the_days():
    """Of 2, 4, 4, 4, 5, 5, 7, 9: mean 5, squares 32, so 32 / 7 / 8 under the root."""
    assert estimate(np.array([2.0, 4, 4, 4, 5, 5, 7, 9])) == Estimate(
        5.0, pytest.approx((32 / 7 / 8) ** 0.5), 8
    )


def test_one_day_has_no_error():
    assert estimate(np.array([3.0])) == Estimate(3.0, None, 1)


def test_blocks_are_taken_until_the_error_is_small_enough():
    blocks = [_block(0, 0, 10), _block(2, 5, 5), _block(4, *[5] * 20), _block(24, 5)]

    assert until_precise(iter(blocks), WANTED).days == 24


def test_days_that_agree_by_chance_are_not_enough_before_the_least_number():
    assert until_precise([_block(0, 5, 5), _block(2, 5, 5), _block(4, 5)], WANTED).days == 4


def test_where_it_is_never_precise_all_days_are_taken():
    assert until_precise([_block(0, 0, 100), _block(2, 0, 100)], WANTED).days == 4


def test_no_days_are_no_answer():
    with pytest.raises(RecordError, match="no days"):
        until_precise([], WANTED)


@pytest.mark.parametrize("after", [_block(3, 1), _block(2, 1, seed=2)], ids=["gap", "seed"])
def test_blocks_that_do_not_follow_each_other_are_not_joined(after):
    with pytest.raises(RecordError, match="does not follow"):
        joined([_block(0, 1, 2), after])


@pytest.mark.parametrize(
    ("settings", "says"),
    [
        (("finish", 1.0, 4), "no figure 'finish'"),
        (("finish in seconds", 0.0, 4), "an error of 0"),
        (("finish in seconds", float("nan"), 4), "an error of nan"),
        (("finish in seconds", 1.0, 1), "at least 1 days"),
    ],
)
def test_a_precision_that_cannot_be_is_refused(settings, says):
    with pytest.raises(RecordError, match=says):
        Precision(*settings)
