"""What makes a thaw plan impossible, with made-up limits."""

from datetime import timedelta
from zoneinfo import ZoneInfo

import pytest

from thawline.base.errors import RecordError
from thawline.base.instants import read_instant
from thawline.plan.moves import Keeping, Keeps
from thawline.plan.possible import lives_through_the_thaw, outside_hours, somebody_comes
from thawline.plan.thaw import ThawRule

RULE = ThawRule(10, timedelta(hours=2), timedelta(minutes=10), timedelta(minutes=50))


def _keeps(thawed_min=None, on_table_min=None):
    def keeping(item, minutes):
        return None if minutes is None else Keeping(item, timedelta(minutes=minutes))

    return Keeps(keeping("C1", thawed_min), keeping("C3", on_table_min), None)


@pytest.mark.parametrize(("thawed", "on_table"), [(131, 51), (None, None), (9999, None)])
def test_a_vial_that_outlives_its_thaw_can_be_planned(thawed, on_table):
    assert lives_through_the_thaw(_keeps(thawed, on_table), RULE) is None


@pytest.mark.parametrize(("thawed", "on_table", "item"), [(130, 999, "C1"), (999, 50, "C3")])
def test_a_vial_that_is_past_when_it_may_be_opened_makes_no_plan(thawed, on_table, item):
    with pytest.raises(RecordError, match=item):
        lives_through_the_thaw(_keeps(thawed, on_table), RULE)


def test_a_no_show_of_everybody_is_no_plan():
    assert somebody_comes([1.0, 0.99]) is None
    with pytest.raises(RecordError, match="100 %"):
        somebody_comes([1.0, 1.0])


def test_bookings_when_nobody_is_there_are_counted_and_the_first_is_named():
    zone = ZoneInfo("America/Chicago")
    places = [read_instant(f"2026-02-03T{at}:00-06:00") for at in ("21:00", "20:30", "09:00")]
    found = outside_hours(places, "20:00 to 07:00", [True, True, False], zone)

    assert [finding.code for finding in found] == ["outside-opening-hours"]
    assert "2 bookings" in found[0].says
    assert "20:30" in found[0].says
    assert outside_hours(places, "", [False] * 3, zone) == ()
