"""A place at another site: which it is, and which place of here it settles. Invented."""

from datetime import date

import pytest
from tests.cast import CHICAGO, at
from tests.vial.entries import entry

from thawline.base.instants import to_ms
from thawline.ledger.events import DoseNotGiven
from thawline.ledger.person_events import SecondDosesPassedOn, SecondDosesTakenOver
from thawline.person.away import AWAY, Away, AwayState, place_elsewhere
from thawline.person.bookings import Wanted, refusal_elsewhere
from thawline.person.fold import Booking, PersonState
from thawline.person.follow_up import missed_place

TUESDAY = date(2026, 2, 3)
PASSED = SecondDosesPassedOn(
    people=("DEMO-000001", "DEMO-000002"),
    slots_ms=(to_ms(at("10:00", 4)), to_ms(at("11:00", 9))),
    to_site="oddmoor",
)
TAKEN = SecondDosesTakenOver(
    people=("P-000001",),
    were=("DEMO-000002",),
    slots_ms=(to_ms(at("11:00", 9)),),
    first_on=("2026-01-06",),
    from_site="harrowmint",
)


def test_each_is_passed_on_to_their_own_place_and_taken_over_under_their_own_code():
    passed = AWAY.step("DEMO-000002", None, entry(PASSED, 0)).passed_on
    came = AWAY.step("P-000001", None, entry(TAKEN, 0)).came_from

    assert [(each.site, each.code, each.day) for each in passed] == [
        ("oddmoor", "DEMO-000002", date(2026, 2, 9))
    ]
    assert [(each.site, each.code) for each in came] == [("harrowmint", "DEMO-000002")]


def test_a_move_is_about_the_people_here_and_nothing_else_is():
    assert AWAY.keys(PASSED) == ("DEMO-000001", "DEMO-000002")
    assert AWAY.keys(TAKEN) == ("P-000001",)
    assert AWAY.keys(DoseNotGiven(person="DEMO-000001", why="not said")) == ()
    assert AWAY.kinds == {SecondDosesPassedOn, SecondDosesTakenOver}


def _away(*days):
    return AwayState(
        tuple(Away("oddmoor", "P-000001", to_ms(at("10:00", d)), CHICAGO.key) for d in days)
    )


@pytest.mark.parametrize(("on", "day"), [(3, 4), (4, 4), (5, 9), (9, 9), (10, None)])
def test_the_next_place_of_that_day_or_later_counts(on, day):
    found = place_elsewhere(_away(9, 4), date(2026, 2, on))

    assert (None if found is None else found.day.day) == day


def test_who_was_never_passed_on_has_none_elsewhere():
    assert place_elsewhere(None, TUESDAY) is None
    came = Away("oddmoor", "P-000001", to_ms(at("10:00", 9)), CHICAGO.key)
    assert place_elsewhere(AwayState(came_from=(came,)), TUESDAY) is None


@pytest.mark.parametrize(("dose", "refused"), [(1, False), (2, True)])
def test_a_place_elsewhere_refuses_another_for_the_second_dose_alone(dose, refused):
    away = place_elsewhere(_away(9), TUESDAY)

    says = refusal_elsewhere(away, Wanted(at("09:00", 4), date(2026, 2, 4), dose))

    assert (says or "").startswith("has a place for dose 2 at oddmoor already") is refused


@pytest.mark.parametrize(
    ("dose", "away", "missed"),
    [(2, _away(2), True), (2, _away(4), False), (1, _away(4), True), (2, None, True)],
    ids=["an earlier one", "a later one", "not for dose 1", "none"],
)
def test_a_later_place_elsewhere_settles_a_missed_second_dose(dose, away, missed):
    place = Booking(to_ms(at("09:00")), dose, CHICAGO.key, "", "", "", "e")

    found = missed_place(PersonState(bookings=(place,)), None, away, TUESDAY, CHICAGO)

    assert found == (place if missed else None)
