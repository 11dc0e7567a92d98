"""Whether a person may have a place. Invented people and times."""

from datetime import date, timedelta
from zoneinfo import ZoneInfo

import pytest

from thawline.base.instants import Instant, read_instant, to_ms
from thawline.person.bookings import (
    Wanted,
    booked_already,
    dose_number_at,
    first_dose_booked,
    had_dose_on,
    refusal,
)
from thawline.person.fold import Booking, DoseHad, DoseTold, PersonState

CHICAGO = "America/Chicago"
NOW = read_instant("2026-02-03T08:00:00-06:00")
SLOT = read_instant("2026-02-03T09:30:00-06:00")
TUESDAY = date(2026, 2, 3)
SECOND = timedelta(seconds=1)


def _booking(at, number=1):
    return Booking(
        slot_ms=to_ms(at),
        dose_number=number,
        zone=CHICAGO,
        language="",
        needs="",
        row="",
        entry="",
    )


def _dose(at, until=None, number=1):
    return DoseHad(
        dose_number=number,
        lo_ms=to_ms(at),
        hi_ms=to_ms(until or at),
        zone=CHICAGO,
        lot=None,
        syringe=None,
        vial=None,
        arm=None,
        protocol=None,
        codes=(),
        entry="",
    )


def _wanted(at=SLOT, number=1):
    return Wanted(at, TUESDAY, number)


def test_a_new_person_may_have_a_place():
    assert refusal(PersonState(), _wanted(), NOW) is None
    assert refusal(PersonState(), _wanted(number=2), NOW) is None


@pytest.mark.parametrize("number", [0, 3])
def test_this_series_has_two_doses(number):
    assert "doses 1 and 2" in refusal(PersonState(), _wanted(number=number), NOW)


def test_a_second_place_for_the_same_dose_is_refused_with_the_first():
    state = PersonState(bookings=(_booking(Instant(SLOT + SECOND)),))

    assert refusal(state, _wanted(), NOW) == (
        "has a place for dose 1 already: 2026-02-03T09:30:01-06:00"
    )
    assert refusal(state, _wanted(number=2), NOW) is None


def test_a_place_that_is_over_does_not_stand_in_the_way():
    missed = PersonState(bookings=(_booking(Instant(NOW - SECOND)),))
    running = PersonState(bookings=(_booking(NOW),))

    assert refusal(missed, _wanted(), NOW) is None
    assert refusal(running, _wanted(), NOW) is not None


def test_a_dose_that_was_given_is_not_booked_again():
    state = PersonState(doses=(_dose(read_instant("2026-01-05T10:00:00-06:00")),))

    assert refusal(state, _wanted(), NOW) == "dose 1 was given on 2026-01-05"
    assert refusal(state, _wanted(number=2), NOW) is None


def test_a_first_dose_elsewhere_is_not_booked_again():
    state = PersonState(told=(DoseTold("2026-01-05", "", ""),))

    assert "2026-01-05" in refusal(state, _wanted(), NOW)
    assert refusal(state, _wanted(number=2), NOW) is None


def test_the_very_place_is_known_by_its_time_and_dose():
    state = PersonState(bookings=(_booking(SLOT),))

    assert booked_already(state, _wanted()) == state.bookings[0]
    assert booked_already(state, _wanted(number=2)) is None
    assert booked_already(state, _wanted(Instant(SLOT + SECOND))) is None


def test_a_dose_nobody_numbered_is_the_booked_one_or_the_next():
    given = _dose(read_instant("2026-01-05T10:00:00-06:00"))
    told = DoseTold("2026-01-05", "", "")

    assert dose_number_at(PersonState(), SLOT) == 1
    assert dose_number_at(PersonState(doses=(given,)), SLOT) == 2
    assert dose_number_at(PersonState(told=(told,)), SLOT) == 2
    assert dose_number_at(PersonState(doses=(given, given)), SLOT) == 2
    assert dose_number_at(PersonState((_booking(SLOT),), (), (given,)), SLOT) == 1


def test_the_first_dose_still_to_come_counts_and_a_missed_one_does_not():
    later = read_instant("2026-02-05T10:00:00-06:00")
    places = (_booking(Instant(NOW - SECOND)), _booking(later), _booking(SLOT, number=2))

    assert first_dose_booked(PersonState(bookings=places), NOW) == date(2026, 2, 5)
    assert first_dose_booked(PersonState(bookings=places[:1]), NOW) is None
    assert first_dose_booked(PersonState(bookings=places[2:]), NOW) is None


@pytest.mark.parametrize(
    ("day", "had"),
    [(2, False), (3, True), (4, True), (5, False)],
)
def test_a_dose_of_an_uncertain_night_counts_for_both_its_days(day, had):
    night = _dose(
        read_instant("2026-02-03T22:00:00-06:00"), read_instant("2026-02-04T06:00:00-06:00")
    )
    state = PersonState(doses=(night,))

    assert had_dose_on(state, date(2026, 2, day), ZoneInfo(CHICAGO)) is had


def test_a_second_dose_that_is_to_be_repeated_does_not_stand_in_the_way():
    state = PersonState(doses=(_dose(NOW - SECOND, number=2),))

    assert refusal(state, _wanted(number=2), NOW, repeats=True) is None
    assert refusal(state, _wanted(number=2), NOW) == "dose 2 was given on 2026-02-03"
