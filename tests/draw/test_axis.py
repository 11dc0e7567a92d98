"""Where an instant stands on an axis of hours; columns counted by hand."""

import pytest

from thawline.base.errors import RecordError
from thawline.base.instants import read_instant, zone_named
from thawline.draw.axis import axis_over

ZONE = zone_named("Etc/GMT+6")
CHICAGO = zone_named("America/Chicago")


def _at(wall, day="2026-02-03"):
    return read_instant(f"{day}T{wall}-06:00")


def test_an_axis_begins_at_the_whole_hour_before_and_ends_at_the_one_after():
    axis = axis_over(_at("10:02"), _at("18:28"), ZONE)

    assert (axis.starts, axis.hours) == (_at("10:00"), 9)


def test_the_hours_stand_above_their_columns():
    axis = axis_over(_at("10:02"), _at("12:28"), ZONE)

    assert axis.columns == 12
    assert axis.head() == "10          11          12          13"


@pytest.mark.parametrize(
    ("wall", "column"),
    [("09:00", 0), ("10:00", 0), ("10:09:59", 0), ("10:10", 1), ("13:37", 21), ("23:00", 54)],
    ids=["before it", "at its start", "just before", "at the next", "13:37", "after it"],
)
def test_a_column_stands_for_the_ten_minutes_from_its_start_on(wall, column):
    axis = axis_over(_at("10:02"), _at("18:28"), ZONE)

    assert axis.column(_at(wall)) == column


def test_the_hour_that_the_clocks_skip_is_not_on_the_axis():
    axis = axis_over(_at("00:30", "2026-03-08"), _at("03:30", "2026-03-08"), CHICAGO)

    assert axis.head().split() == ["00", "01", "03", "04", "05"]


def test_a_long_time_shows_every_other_hour():
    axis = axis_over(_at("00:00"), _at("23:00", "2026-02-04"), ZONE)

    assert (axis.columns, axis.head().split()[:3]) == (1, ["00", "02", "04"])


@pytest.mark.parametrize(
    ("first", "last"),
    [("12:00", "11:59"), ("2026-02-03", "2026-02-06")],
    ids=["backwards", "three days"],
)
def test_a_time_that_fits_no_picture_is_refused(first, last):
    ends = (_at(first), _at(last)) if ":" in first else (_at("12:00"), _at("12:00", last))

    with pytest.raises(RecordError, match="at most 60 fit"):
        axis_over(*ends, ZONE)
