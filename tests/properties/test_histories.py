"""
The product and the reference give the same answers, history by history.

10,000 here, in twenty parts that run side by side; a million with `make histories`.
"""

import json

import pytest
from tests.reference.comparison import UNSAFE, USELESS, compared, smallest, written_out

SEED = 28
PART = 500
PARTS = [range(first, first + PART) for first in range(0, 20 * PART, PART)]


def _told(tally, differences):
    return {
        kind: json.dumps(written_out(smallest(tally.examples[kind][0], kind)), indent=1)
        for kind in differences
    }


@pytest.fixture(scope="module", params=PARTS, ids=lambda part: f"from {part.start}")
def tally(request):
    return compared(SEED, request.param)


def test_no_vial_is_called_usable_that_the_reference_calls_unusable(tally):
    assert not tally.differences[UNSAFE], _told(tally, [UNSAFE])


def test_no_vial_is_withheld_that_the_reference_calls_usable(tally):
    assert not tally.differences[USELESS], _told(tally, [USELESS])


def test_every_other_part_of_the_answer_is_the_same(tally):
    others = [kind for kind in tally.differences if kind not in {UNSAFE, USELESS}]

    assert not others, _told(tally, others)
