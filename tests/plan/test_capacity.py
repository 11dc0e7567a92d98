"""How many second doses a site takes a day, as its settings say it. Made-up figures."""

from datetime import date

import pytest

from thawline.base.errors import RecordError
from thawline.plan.capacity import SecondPlaces, places_on

SATURDAY, MONDAY = date(2026, 3, 7), date(2026, 3, 9)


def test_a_day_of_its_own_counts_before_every_day():
    known = SecondPlaces(540, {SATURDAY: 270})

    assert [places_on(known, day, "quillbeck") for day in (SATURDAY, MONDAY)] == [270, 540]


def test_a_closed_day_has_no_places():
    assert places_on(SecondPlaces(540, {SATURDAY: 0}), SATURDAY, "quillbeck") == 0


@pytest.mark.parametrize("known", [None, SecondPlaces(None, {SATURDAY: 270})])
def test_what_nobody_said_is_an_error_that_says_where_to_write_it(known):
    with pytest.raises(RecordError, match="quillbeck has on 2026-03-09 is not known") as error:
        places_on(known, MONDAY, "quillbeck")

    assert "[second_doses] a_day" in error.value.advice
