"""
A site's day for its staffing, from its own record; all made up.

The walk-ups are held against printed Poisson limits: see the rolling thaw's test for the table.
"""

from datetime import date, timedelta

import pytest
from tests.app.test_plans import _book, _give
from tests.cast import a_day, at

from thawline.app.staffed_day import AskStaffed, booked_day
from thawline.base.errors import NotFoundError, RecordError

TUESDAY, WEDNESDAY = date(2026, 2, 3), date(2026, 2, 4)
TEN = timedelta(minutes=10)


def _asked(day, on=TUESDAY, no_show=0.1, walk_ups=0.0, slot=TEN):
    return booked_day(day.site, AskStaffed(day.now, on, slot, no_show, walk_ups))


def test_people_count_in_the_slot_of_their_place_from_the_first_half_hour_on():
    day = a_day()
    _book(day, 3, at("09:10"))
    _book(day, 2, at("09:50"), first=10)

    found = _asked(day)

    assert found.opens == at("09:00")
    assert found.bookings == (0, 3, 0, 0, 0, 2)
    assert found.as_of == day.now


def test_left_out_the_day_is_the_next_one_with_bookings():
    day = a_day()
    _book(day, 4, at("10:00", 4))
    _book(day, 9, at("10:00", 5), first=10)

    assert _asked(day, on=None).day == WEDNESDAY


def test_a_day_that_began_counts_whole_who_has_come_already_too():
    day = a_day()
    _book(day, 4, at("09:00"))
    _give(day, 1, 2, at("09:10"))
    day.now = at("11:00")

    assert sum(_asked(day, on=None).bookings) == 4


def test_walk_ups_of_the_day_itself_are_no_bookings():
    day = a_day()
    _book(day, 4, at("09:00"))
    day.now = at("09:02")
    _book(day, 3, at("09:00"), first=10)

    assert sum(_asked(day).bookings) == 4


def test_the_share_that_stays_away_is_learned_from_earlier_days():
    day = a_day()
    _book(day, 10, at("09:00", 2))
    _give(day, 1, 8, at("09:10", 2))
    _book(day, 5, at("09:00"), first=20)

    found = _asked(day, no_show=None)

    assert found.no_show == pytest.approx(0.2)
    assert "20.0 %" in found.no_show_says


def test_walk_ups_of_earlier_days_are_learned_and_stand_in_their_half_hour():
    day = a_day()
    _book(day, 10, at("09:00"))
    day.now = at("10:02")
    _book(day, 3, at("10:00"), first=11)
    _give(day, 1, 13, at("10:30"))
    _book(day, 5, at("09:00", 4), first=20)
    _book(day, 5, at("10:00", 4), first=40)

    found = _asked(day, WEDNESDAY, walk_ups=None)

    # Three seen on one day: the one-sided 90 % limit of a Poisson mean is 6.68 (printed tables
    # of Garwood's limits, 80 % two-sided); three slots of ten minutes share it.
    assert found.walk_ups[:6] == (0.0,) * 6
    assert found.walk_ups[6:9] == pytest.approx((6.68 / 3,) * 3, abs=2e-3)


def test_without_an_earlier_day_walk_ups_are_not_known():
    day = a_day()
    _book(day, 5, at("09:00"))

    assert _asked(day, walk_ups=None).walk_ups is None


def test_walk_ups_that_are_told_are_spread_over_the_hour():
    day = a_day()
    _book(day, 5, at("09:00"))

    found = _asked(day, walk_ups=12.0)

    assert found.walk_ups == pytest.approx((2.0, 2.0, 2.0))
    assert found.walk_ups_say == "12 an hour given by hand"


def test_a_day_without_bookings_is_said():
    day = a_day()
    _book(day, 5, at("09:00"))

    with pytest.raises(NotFoundError, match="nobody is booked on 2026-02-04"):
        _asked(day, on=WEDNESDAY)
    day.now = at("09:00", 4)
    with pytest.raises(NotFoundError, match="nobody is booked from today on"):
        _asked(day, on=None)


def test_without_a_share_or_an_earlier_day_it_is_asked_for():
    day = a_day()
    _book(day, 5, at("09:00"))

    with pytest.raises(RecordError, match="no no-show share is given"):
        _asked(day, no_show=None)


@pytest.mark.parametrize("minutes", [0, 7, 20, 60])
def test_slots_must_fill_half_an_hour(minutes):
    day = a_day()
    _book(day, 5, at("09:00"))

    with pytest.raises(RecordError, match=f"slots of {minutes} min"):
        _asked(day, slot=timedelta(minutes=minutes))
