"""
Days for second doses with the proof of them; expected days by hand, and by trying every order.

Earliest deadline first is exact for unit jobs: Jackson 1955, from memory; the small cases here
can be followed with a finger.
"""

from datetime import date, timedelta

import pytest
from hypothesis import given
from hypothesis import strategies as st

from thawline.base.errors import RecordError
from thawline.plan.second_places import Asked, Given, assigned

WED, SAT, MON = date(2026, 3, 4), date(2026, 3, 7), date(2026, 3, 9)
A_DAY = timedelta(days=1)


def _asked(person: str, earliest: date = WED, window: int = 14) -> Asked:
    return Asked(person, earliest, earliest + window * A_DAY)


def test_whoever_fits_on_the_first_open_day_comes_on_it_and_the_others_on_the_next():
    found = assigned([_asked("A"), _asked("B"), _asked("C")], {SAT: 2, MON: 2})

    assert [each.day for each in found.given] == [SAT, SAT, MON]
    assert [(line.free, line.given) for line in found.days] == [(2, 2), (2, 1)]
    assert found.days_waited == 3 + 3 + 5


def test_the_earliest_last_day_goes_first_whatever_the_code():
    found = assigned([_asked("A"), _asked("Z", window=3)], {SAT: 1, MON: 1})

    assert {each.asked.person: each.day for each in found.given} == {"A": MON, "Z": SAT}
    assert found.late == ()


def test_a_day_that_is_not_named_is_closed():
    found = assigned([_asked("A", SAT + A_DAY)], {SAT: 5, MON: 5})

    assert found.given[0].day == MON


def test_a_place_before_the_first_day_allowed_cannot_even_be_made():
    with pytest.raises(RecordError, match="A on 2026-03-03 is early: due 2026-03-04"):
        Given(_asked("A"), WED - A_DAY)


def test_too_few_places_name_who_has_none_the_longest_waiting_first():
    people = [_asked("C", SAT, 9), _asked("A", WED, 9), _asked("B", WED, 20)]

    found = assigned(people, {SAT: 1})

    assert [each.asked.person for each in found.given] == ["A"]
    assert [each.person for each in found.without] == ["C", "B"]
    assert found.not_kept == ((SAT + 9 * A_DAY, 1), (WED + 20 * A_DAY, 1))


def test_a_place_after_the_last_day_is_given_and_counted_late_the_latest_first():
    people = [_asked("A", WED, 1), _asked("B", WED, 0)]

    found = assigned(people, {SAT: 2})

    assert [(each.asked.person, each.late) for each in found.late] == [("B", 3), ("A", 2)]


def test_the_last_day_itself_is_in_time():
    found = assigned([_asked("A", WED, 3)], {SAT: 1})

    assert (found.given[0].late, found.not_kept) == (0, ())


def test_nobody_to_place_is_an_empty_plan_and_no_days_are_refused():
    assert assigned([], {SAT: 3}).given == ()
    with pytest.raises(RecordError, match="no day has places"):
        assigned([_asked("A")], {})


def test_somebody_late_already_has_their_true_last_day():
    past = Asked("A", SAT, WED)  # the window closed before the first day that can be given

    found = assigned([past], {SAT: 1})

    assert found.late[0].late == 3


@given(
    st.lists(st.tuples(st.integers(0, 8), st.integers(0, 8)), max_size=12),
    st.dictionaries(st.integers(0, 10), st.integers(0, 3), min_size=1),
)
def test_nobody_is_early_no_day_overfull_and_nobody_vanishes(people, places):
    asked = [_asked(f"P{n}", WED + e * A_DAY, w) for n, (e, w) in enumerate(people)]

    found = assigned(asked, {WED + day * A_DAY: count for day, count in places.items()})

    assert all(each.day >= each.asked.earliest for each in found.given)
    assert all(line.given <= line.free for line in found.days)
    assert len(found.given) + len(found.without) == len(asked)
