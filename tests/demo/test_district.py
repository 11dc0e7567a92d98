"""The invented district: the numbers of docs/lesson/the-district.md, by site and date."""

import re
from collections import Counter

import pytest

from thawline.base.errors import NotFoundError
from thawline.demo import lots
from thawline.demo.district import DAYS, PLACES, TUESDAY, booked_in_all, place_named
from thawline.demo.people import people_booked, walk_ups
from thawline.demo.staff import staff

SEED = 28
HALL = place_named("harrowmint")


@pytest.fixture(name="everybody", scope="module")
def _everybody():
    days = [(place, day) for day in DAYS for place in PLACES]
    booked = [person for place, day in days for person in people_booked(place, day, SEED)]
    return booked, [person for place, day in days for person in walk_ups(place, day, SEED)]


def test_four_sites_book_1_920_people_a_day_and_9_600_in_five_days():
    assert [place.booked_a_day for place in PLACES] == [720, 540, 420, 240]
    assert booked_in_all() == 9_600


def test_everybody_in_the_week_has_a_code_of_their_own(everybody):
    booked, without = everybody
    codes = {person.code for person in [*booked, *without]}

    assert len(booked) == 9_600
    assert len(codes) == len(booked) + len(without)


def test_codes_phones_and_mail_can_belong_to_nobody(everybody):
    real = [
        person.code
        for person in [*everybody[0], *everybody[1]]
        if not re.fullmatch(r"DEMO-\d{6}", person.code)
        or not re.fullmatch(r"555-01\d\d", person.phone)
        or not person.mail.endswith("@example.org")
    ]

    assert not real


def test_about_12_in_100_prefer_spanish(everybody):
    spanish = sum(person.language == "es" for person in everybody[0])

    assert 0.11 < spanish / 9_600 < 0.13


def test_a_day_has_two_pairs_of_one_name_and_one_person_booked_twice():
    people = people_booked(HALL, TUESDAY, SEED)
    names = Counter(person.called.whole for person in people)
    doubles = [person for person in people if person.double_of]

    assert sorted(names.values())[-4:] == [1, 2, 2, 2]
    assert len(doubles) == 1


def test_the_double_booking_has_day_and_month_of_the_birth_date_swapped():
    people = {person.code: person for person in people_booked(HALL, TUESDAY, SEED)}
    double = next(person for person in people.values() if person.double_of)
    first = people[double.double_of]

    assert (double.born.day, double.born.month) == (first.born.month, first.born.day)
    assert (double.called, double.born.year) == (first.called, first.born.year)
    assert double.born != first.born


def test_the_same_seed_gives_the_same_people_and_another_seed_others():
    assert people_booked(HALL, TUESDAY, SEED) == people_booked(HALL, TUESDAY, SEED)
    assert people_booked(HALL, TUESDAY, SEED) != people_booked(HALL, TUESDAY, 7)


def test_78_people_work_in_the_district_each_under_one_name():
    assert len({member.called for member in staff(SEED)}) == 78


def test_staff_and_vaccinated_share_no_name(everybody):
    named = {person.called.whole for people in everybody for person in people}

    assert not named & {member.called for member in staff(SEED)}


def test_1_000_vials_are_shipped_by_the_share_of_the_bookings():
    assert [lots.shipped(place) for place in PLACES] == [375, 281, 219, 125]


def test_the_look_alikes_differ_by_two_swapped_neighbours():
    one, other = lots.ALIKE

    assert sorted(one) == sorted(other)
    assert one != other


def test_harrowmint_has_84_vials_for_the_day_of_four_lots():
    cartons = lots.in_freezer(HALL)

    assert sum(each.vials for each in cartons) == 84
    assert {each.lot for each in cartons} == {"ZZ-1041", "ZZ-1014", "ZZ-1107", "ZZ-1120"}


def test_zz_1107_expires_before_every_other_lot():
    expiry = {each.lot: each.expiry for each in lots.in_freezer(HALL)}

    assert min(expiry, key=expiry.get) == "ZZ-1107"


@pytest.mark.parametrize("eight", range(4))
def test_of_every_eight_vials_of_zz_1120_one_gives_nine_doses(eight):
    numbers = range(8 * eight, 8 * eight + 8)
    given = [lots.doses_in("ZZ-1120", n, HALL, TUESDAY, SEED) for n in numbers]

    assert sorted(given, key=str) == [9, *[None] * 7]


def test_a_site_that_the_district_does_not_have_is_named():
    with pytest.raises(NotFoundError, match="no site 'harrowmont'"):
        place_named("harrowmont")
