"""The standby list: its order, who is called, and who can be here in time. Invented people."""

from zoneinfo import ZoneInfo

import pytest
from tests.cast import at
from tests.vial.entries import folded

from thawline.ledger.events import Noted
from thawline.ledger.standby_events import StandbyAdded, StandbyCalled
from thawline.person.standby import STANDBY, list_at

CHICAGO = ZoneInfo("America/Chicago")
ANN, BEN, CAT = "DEMO-000001", "DEMO-000002", "DEMO-000003"


def added(person, travel=10, priority=None):
    return StandbyAdded(person=person, travel_min=travel, priority=priority)


def called(person, answer="no"):
    return StandbyCalled(person=person, answer=answer)


def listed(*events, now="13:00", had_dose=(), day=3):
    """Return the list after the events, one a minute from noon."""
    return list_at(folded(STANDBY, *events).items(), had_dose, at(now, day), CHICAGO)


def names(found):
    return [each.person for each in found.waiting]


def test_the_list_is_in_the_order_of_entry():
    assert names(listed(added(CAT), added(ANN), added(BEN))) == [CAT, ANN, BEN]


def test_the_sites_priority_goes_before_the_time_of_entry():
    found = listed(added(ANN), added(BEN, priority=2), added(CAT, priority=1))

    assert names(found) == [CAT, BEN, ANN]


def test_who_lives_near_is_not_put_in_front():
    assert names(listed(added(ANN, travel=60), added(BEN, travel=1))) == [ANN, BEN]


def test_asking_again_keeps_the_place_and_takes_the_new_way():
    found = listed(added(ANN, travel=60), added(BEN), added(ANN, travel=5))

    assert names(found) == [ANN, BEN]
    assert found.waiting[0].here_at == at("13:05")


def test_nobody_is_called_twice_in_a_day():
    found = listed(added(ANN), added(BEN), called(ANN, "no-answer"))

    assert names(found) == [BEN]


def test_who_was_called_yesterday_may_be_called_today():
    assert names(listed(added(ANN), called(ANN, "no"), day=4)) == [ANN]


def test_who_comes_is_on_the_way_from_the_call_on():
    (coming,) = listed(added(ANN, travel=15), called(ANN, "comes")).on_the_way

    assert (coming.person, coming.here_at) == (ANN, at("12:16"))


def test_who_does_not_answer_is_not_on_the_way():
    assert listed(added(ANN), called(ANN, "no-answer")).on_the_way == ()


def test_who_had_a_dose_is_off_the_list():
    found = listed(added(ANN), added(BEN), called(BEN, "comes"), had_dose=(ANN, BEN))

    assert (names(found), found.on_the_way) == ([], ())


@pytest.mark.parametrize(
    ("use_by", "near"), [("13:10", []), ("13:11", [ANN])], ids=["at the use-by", "before it"]
)
def test_who_would_come_at_the_use_by_is_too_late(use_by, near):
    found = listed(added(ANN, travel=10))

    assert [each.person for each in found.can_be_here(at(use_by))] == near


def test_an_answer_of_somebody_who_was_never_put_on_the_list_puts_nobody_on_it():
    assert names(listed(called(ANN))) == []


def test_other_events_are_not_about_the_list():
    assert folded(STANDBY, Noted(says="x")) == {}
