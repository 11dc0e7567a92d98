"""Calls to people, folded: which tries there were, and what settles a matter. Invented."""

from datetime import date

import pytest
from tests.cast import CHICAGO, at
from tests.vial.entries import entry

from thawline.base.instants import to_ms
from thawline.ledger.events import DoseNotGiven
from thawline.ledger.person_events import FollowUpCalled
from thawline.person.desk import DeskState
from thawline.person.fold import Booking, DoseHad, PersonState
from thawline.person.follow_up import (
    FOLLOW_UP,
    About,
    Result,
    is_closed,
    missed_place,
    tries_about,
)

MARSH = "DEMO-000001"
TUESDAY = date(2026, 2, 3)


def _call(result, about="no-show", day="2026-02-03"):
    return FollowUpCalled(person=MARSH, about=about, day=day, result=result)


def _tries(*results):
    """Return the tries of calls with these results, each with its minute after noon."""
    state = None
    for minute, result in results:
        state = FOLLOW_UP.step(MARSH, state, entry(_call(result), minute))
    return tries_about(state, About.NO_SHOW, TUESDAY)


def test_a_call_is_about_its_person_and_nothing_else_is():
    assert FOLLOW_UP.keys(_call("message")) == (MARSH,)
    assert FOLLOW_UP.keys(DoseNotGiven(person=MARSH, why="not said")) == ()
    assert FOLLOW_UP.kinds == {FollowUpCalled}


def test_tries_stand_in_the_order_they_were_made_not_typed():
    made = _tries((20, "declines"), (10, "no-answer"))

    assert [each.result for each in made] == ["no-answer", "declines"]


def test_a_call_about_another_day_or_matter_is_none_about_this_one():
    state = FOLLOW_UP.step(MARSH, None, entry(_call("declines", day="2026-02-02"), 0))

    assert tries_about(state, About.NO_SHOW, TUESDAY) == ()
    assert tries_about(state, About.LATE, date(2026, 2, 2)) == ()
    assert tries_about(None, About.NO_SHOW, TUESDAY) == ()


@pytest.mark.parametrize(
    ("result", "settles"),
    [
        *((each, False) for each in ("no-answer", "message", "wrong-number", "rebooked")),
        *((each, True) for each in ("declines", "had-elsewhere", "well", "unwell")),
        ("put-right", True),
    ],
)
def test_what_reached_somebody_settles_it_and_a_new_place_does_so_itself(result, settles):
    assert result in tuple(Result)
    assert is_closed(_tries((0, result))) is settles
    assert not is_closed(())


def _place(clock, day=3, dose_number=1):
    return Booking(to_ms(at(clock, day)), dose_number, CHICAGO.key, "", "", "", "e")


def _dose(clock, day, number):
    when = to_ms(at(clock, day))
    return DoseHad(number, when, when, CHICAGO.key, None, None, None, None, None, (), "e")


@pytest.mark.parametrize(
    ("doses", "waits_for", "missed"),
    [
        ((), None, True),
        ((_dose("09:00", 2, 2),), None, False),
        ((_dose("09:00", 2, 2),), 2, True),
        ((_dose("09:00", 3, 2),), 2, False),
        ((_dose("09:00", 2, 1),), None, True),
    ],
    ids=["none had", "had before", "to be repeated", "had that day", "another dose had"],
)
def test_that_very_dose_settles_a_place_unless_it_is_to_be_repeated(doses, waits_for, missed):
    state = PersonState(bookings=(_place("10:00", dose_number=2),), doses=doses)

    found = missed_place(state, None, None, TUESDAY, CHICAGO, waits_for)

    assert (found is not None) is missed


def test_of_two_places_missed_on_a_day_the_later_is_called_about():
    first, second = _place("09:00"), _place("10:00", dose_number=2)
    state = PersonState(bookings=(first, second, _place("09:00", 9)))

    assert missed_place(state, None, None, TUESDAY, CHICAGO) == second
    assert missed_place(PersonState(), None, None, TUESDAY, CHICAGO) is None


def test_who_was_sent_away_without_a_dose_did_come():
    state = PersonState(bookings=(_place("09:00"),))
    left = DeskState(left_ms=(to_ms(at("09:10")),))

    assert missed_place(state, left, None, TUESDAY, CHICAGO) is None
