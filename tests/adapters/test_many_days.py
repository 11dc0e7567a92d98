"""Many days side by side: the same bits as one by one, and a stop keeps what is done."""

from datetime import timedelta

import pytest
from tests.plan.clinic_days import busy_day

from thawline.adapters.many_days import BLOCK, blocks, played, side_by_side
from thawline.plan.flow import clinic_days
from thawline.plan.flow_outcome import Precision, joined
from thawline.plan.same_days import late_by_staffing

DAYS = 2 * BLOCK + 30
ANY = Precision("people who came", 1e-9, 2)


def _play(first, days):
    return clinic_days(busy_day(), 5, first, days)


@pytest.mark.parametrize("cores", [1, 2, 3])
def test_days_side_by_side_are_those_one_after_the_other(cores):
    together = joined(list(blocks(_play, DAYS, cores)))

    assert together.days == DAYS
    assert together.figures.tobytes() == _play(0, DAYS).figures.tobytes()


def test_a_run_ends_as_soon_as_it_is_precise_enough_and_always_at_the_same_day():
    wanted = Precision("people who came", 0.6, 50)
    found = [played(_play, 50 * BLOCK, wanted, lambda _: None) for _ in range(2)]

    assert found[0].days == found[1].days == BLOCK
    assert wanted.reached(found[0].daily("people who came"))


def test_a_run_that_never_gets_precise_ends_at_the_most_days_and_tells_each_block():
    told = []

    assert played(_play, DAYS, ANY, told.append).days == DAYS
    assert told == [BLOCK, 2 * BLOCK, DAYS]


def test_stopped_by_the_user_the_finished_days_count():
    def stop(finished):
        if finished == 2 * BLOCK:
            raise KeyboardInterrupt

    found = played(_play, 40 * BLOCK, ANY, stop)

    assert found.figures.tobytes() == _play(0, 2 * BLOCK).figures.tobytes()


def test_stopped_within_a_block_the_blocks_before_it_count():
    def play(first, days):
        if first == 2 * BLOCK:
            raise KeyboardInterrupt
        return _play(first, days)

    assert played(play, 40 * BLOCK, ANY, lambda _: None).days == 2 * BLOCK


def test_stopped_before_anything_is_finished_it_is_simply_stopped():
    def play(_first, _days):
        raise KeyboardInterrupt

    with pytest.raises(KeyboardInterrupt):
        played(play, DAYS, ANY, lambda _: None)


@pytest.mark.parametrize("cores", [1, 2, 3])
def test_staffings_side_by_side_are_those_one_after_the_other(cores):
    staffings = [((2,), (3,), (4, 5)), ((2,), (3,), (4, 4)), ((3,), (3,), (5,))]
    told = []

    def some(numbers, first, days):
        chosen = [staffings[number] for number in numbers]
        return late_by_staffing(busy_day(), chosen, 5, (first, days), timedelta(minutes=1))

    found = side_by_side(some, lambda done, days: told.append((done, days)), cores)(
        [0, 2], 3, 7
    )

    whole = some([0, 2], 3, 7)
    assert found.late.tobytes() == whole.late.tobytes()
    assert found.came.tobytes() == whole.came.tobytes()
    assert told[-1] == (7, 7)
