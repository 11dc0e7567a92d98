"""Marks on the axes: round local times and whole degrees."""

from datetime import timedelta

import pytest

from thawline.base.instants import Instant, read_instant, zone_named
from thawline.draw.scales import Scale, degree_marks, time_marks

CHICAGO = zone_named("America/Chicago")
BEGINS = read_instant("2026-02-04T22:07:00-06:00")


def _says(length, most=13, begins=BEGINS, zone=CHICAGO):
    return [m.says for m in time_marks(begins, Instant(begins + length), zone, most)]


def test_an_hour_has_a_mark_each_five_minutes():
    assert _says(timedelta(minutes=20)) == ["22:10", "22:15", "22:20", "22:25"]


def test_a_night_has_whole_hours_and_the_day_at_midnight():
    assert _says(timedelta(hours=5)) == [
        *("22:30", "23:00", "23:30", "Thu 5 Feb", "00:30", "01:00", "01:30", "02:00"),
        *("02:30", "03:00"),
    ]


def test_a_month_has_mondays():
    assert _says(timedelta(days=28)) == ["Mon 9 Feb", "Mon 16 Feb", "Mon 23 Feb", "Mon 2 Mar"]


def test_a_year_has_months_and_names_the_new_year():
    said = _says(timedelta(days=365))

    assert said[0] == "Mar"
    assert "Jan 2027" in said


@pytest.mark.parametrize("days", [0.01, 0.2, 1, 3, 9, 30, 120, 400, 3_000])
def test_there_are_never_too_many_marks(days):
    assert len(_says(timedelta(days=days))) <= 13


def test_the_hour_that_the_clocks_skip_has_no_mark():
    begins = read_instant("2026-03-08T00:00:00-06:00")
    said = _says(timedelta(hours=4), 5, begins)

    assert said == ["Sun 8 Mar", "01:00", "03:00", "04:00", "05:00"]


def test_degrees_are_whole_and_inside():
    assert [m.at for m in degree_marks(-22.4, -13.1, 6)] == [-22, -20, -18, -16, -14]


def test_a_value_outside_stays_at_the_edge():
    scale = Scale(0, 10, 100, 200)

    assert (scale.at(-5), scale.at(5), scale.at(50)) == (100, 150, 200)
