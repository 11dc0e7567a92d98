"""The day cut into half-hours of the wall clock."""

from datetime import date, time
from zoneinfo import ZoneInfo

import pytest

from thawline.base.instants import local_instant, read_instant
from thawline.plan.half_hours import Place, half_hour_of, half_hours

CHICAGO = ZoneInfo("America/Chicago")


@pytest.mark.parametrize(
    ("at", "starts"),
    [
        ("2026-02-03T09:00:00-06:00", "2026-02-03T09:00:00-06:00"),
        ("2026-02-03T09:29:59.999-06:00", "2026-02-03T09:00:00-06:00"),
        ("2026-02-03T09:30:00-06:00", "2026-02-03T09:30:00-06:00"),
        ("2026-02-03T23:59:00-06:00", "2026-02-03T23:30:00-06:00"),
    ],
)
def test_a_half_hour_starts_on_the_hour_or_half_past(at, starts):
    assert half_hour_of(read_instant(at), CHICAGO) == read_instant(starts)


def test_half_hours_follow_the_wall_clock_of_a_place_a_quarter_off():
    kathmandu = ZoneInfo("Asia/Kathmandu")
    ten_past_nine = local_instant(date(2026, 2, 3), time(9, 10), kathmandu)

    nine = local_instant(date(2026, 2, 3), time(9), kathmandu)
    assert half_hour_of(ten_past_nine, kathmandu) == nine


def test_the_hour_that_exists_twice_has_four_half_hours():
    shown = ["01:00:00-05:00", "01:30:00-05:00", "01:00:00-06:00", "01:30:00-06:00"]
    places = [Place(read_instant(f"2026-11-01T{wall}"), 1.0) for wall in shown]

    assert [hour.starts for hour in half_hours(places, CHICAGO)] == [p.at for p in places]


def test_people_of_one_half_hour_stand_together_in_the_order_of_the_day():
    places = [
        Place(read_instant("2026-02-03T10:10:00-06:00"), 0.9),
        Place(read_instant("2026-02-03T09:00:00-06:00"), 0.8),
        Place(read_instant("2026-02-03T10:29:00-06:00"), 0.7),
    ]

    early, late = half_hours(places, CHICAGO)

    assert (early.chances, late.chances) == ((0.8,), (0.9, 0.7))
    assert late.starts == read_instant("2026-02-03T10:00:00-06:00")
