"""Second doses between sites; costs added up by hand, one day waited being one."""

from datetime import date

import pytest

from thawline.base.errors import RecordError
from thawline.plan.second_between import AskedAt, District, shared_out
from thawline.plan.second_places import Asked

WED, SAT, MON = date(2026, 3, 4), date(2026, 3, 7), date(2026, 3, 9)
LAST = date(2026, 3, 18)


def _at(person: str, home: str = "quillbeck", *, may_move=True, latest=LAST) -> AskedAt:
    return AskedAt(Asked(person, WED, latest), home, may_move)


def _district(apart=3.0, **free) -> District:
    pairs = {} if apart is None else {("quillbeck", "oddmoor"): apart}
    return District({"quillbeck": {}, "oddmoor": {}, **free}, pairs)


def _where(found) -> list[tuple[str, str, date]]:
    return [(e.given.asked.person, e.site, e.given.day) for e in found.given]


def test_one_stays_and_one_goes_where_waiting_would_cost_more():
    # one place today, the next in five days; the other site is 3 away: 0 + 3, not 0 + 5
    district = _district(quillbeck={WED: 1, MON: 1}, oddmoor={WED: 1})

    found = shared_out([_at("A"), _at("B")], district)

    assert sorted((site, day) for _, site, day in _where(found)) == [
        ("oddmoor", WED),
        ("quillbeck", WED),
    ]
    assert found.cost == 3


def test_both_stay_where_the_way_costs_more_than_waiting():
    district = _district(6.0, quillbeck={WED: 1, MON: 1}, oddmoor={WED: 1})

    found = shared_out([_at("A"), _at("B")], district)

    assert (found.cost, {site for _, site, _ in _where(found)}) == (5, {"quillbeck"})


def test_who_may_not_move_stays_and_who_has_no_place_is_named_the_longest_waiting_first():
    people = [_at("A", may_move=False), _at("B", may_move=False, latest=SAT)]

    found = shared_out(people, _district(oddmoor={WED: 9}))

    assert [each.asked.person for each in found.without] == ["B", "A"]


def test_between_sites_whose_cost_is_not_named_nobody_moves():
    found = shared_out([_at("A")], _district(None, oddmoor={WED: 9}))

    assert found.given == ()


def test_nobody_is_placed_before_their_day_even_where_places_are_free():
    found = shared_out([_at("A")], _district(quillbeck={date(2026, 3, 3): 9, SAT: 1}))

    assert _where(found) == [("A", "quillbeck", SAT)]


def test_who_is_late_already_gets_the_first_day_there_is():
    found = shared_out(
        [_at("A", latest=date(2026, 3, 1))], _district(quillbeck={SAT: 1, MON: 1})
    )

    assert [(e.given.day, e.given.late) for e in found.given] == [(SAT, 6)]


@pytest.mark.parametrize(
    ("district", "says"),
    [
        (_district(), "no day has places"),
        (_district(-1.0, quillbeck={WED: 1}), "from quillbeck to oddmoor at -1 days"),
        (District({"quillbeck": {WED: 1}}, {("quillbeck", "elsewhere"): 1.0}), "elsewhere"),
        (District({"oddmoor": {WED: 1}}, {}), "people wait at quillbeck"),
    ],
    ids=["no days", "a cost below zero", "no such site", "a site left out"],
)
def test_a_district_that_cannot_be_is_refused(district, says):
    with pytest.raises(RecordError, match=says):
        shared_out([_at("A")], district)
