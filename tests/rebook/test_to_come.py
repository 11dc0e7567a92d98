"""Everybody who waits for a second dose; day 20 by the made-up rule, counted on a calendar."""

from datetime import date

from tests.rebook.people import had, person, place, told
from tests.rebook.rules import FIRST, MADE_UP, always

from thawline.rebook.series import on_day
from thawline.rebook.to_come import second_doses_to_come

THEN = on_day(date(2026, 3, 7))


def _waits(**people):
    return second_doses_to_come(people.items(), THEN, always(MADE_UP))


def test_who_had_one_dose_waits_with_their_place_and_the_first_day():
    state = person(had(FIRST), booked=[place(FIRST, 1), place(date(2026, 3, 4), 2)])

    (found,) = _waits(A=state).people

    assert (found.awaited.due, found.place_day) == (date(2026, 2, 23), date(2026, 3, 4))


def test_without_a_place_there_is_no_day():
    assert _waits(A=person(had(FIRST))).people[0].place_day is None


def test_nobody_waits_without_a_first_dose_or_after_the_second():
    second = had(date(2026, 3, 4))

    found = _waits(A=person(), B=person(had(FIRST), second))

    assert (found.people, found.not_known) == ((), ())


def test_a_dose_without_a_readable_day_is_not_known_and_not_guessed():
    assert _waits(A=person(told=(told("in February"),))).not_known == ("A",)


def test_a_place_for_a_second_dose_without_a_first_is_not_known():
    found = _waits(B=person(booked=[place(date(2026, 3, 4), 2)]))

    assert (found.people, found.not_known) == ((), ("B",))


def test_people_stand_in_the_order_of_their_codes():
    found = _waits(B=person(had(FIRST)), A=person(had(FIRST)))

    assert [each.person for each in found.people] == ["A", "B"]
