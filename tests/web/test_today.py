"""Today: five numbers, the rows behind each, and how much was said."""

from tests.cast import HAZEL, ROWAN, SORREL
from tests.web.hall import text
from tests.web.test_draw_table import on_the_table

from thawline.app import doses, holds, vials
from thawline.app.closing import count
from thawline.app.in_hand import Needle
from thawline.base.roles import Role


def lead(hall):
    return hall.browser(ROWAN, Role.SITE_LEAD)


def rows(hall, name: str) -> str:
    return text(hall.get(lead(hall), "/today", data={"rows": name}))


def given(hall):
    """Give a dose of an open vial to somebody; return the vial."""
    [code] = on_the_table(hall)
    vials.open_vial(hall.site, hall.doing(HAZEL, "10:02"), code)
    doing = hall.doing(HAZEL, "10:30", station="chair-1", happened=True)
    doses.give(hall.site, doing, Needle(person="P-1", vial=code, dose_number=1))
    return code


def test_a_dose_that_was_given_stands_behind_the_number(hall):
    given(hall)
    page = rows(hall, "given")
    assert "Given 1 booked until now 0" in page
    assert "Doses given today: 1" in page
    assert "P-1 10:30 dose 1, lot ZZ-1041" in page


def test_whoever_had_a_dose_stands_behind_the_number_of_the_observation_area(hall):
    given(hall)
    hall.clock("10:40")
    page = rows(hall, "observed")
    assert "In the observation area, by the record: 1" in page
    assert "P-1" in page


def test_doses_that_a_count_did_not_find_are_not_accounted_for(hall):
    on_the_table(hall)
    count(hall.site, hall.doing(SORREL, "11:00"), "stock:freezer-1", "ZZ-1041", 388)
    page = rows(hall, "not-accounted")
    assert "Doses not accounted for 2 asked 12:00" in page
    assert "stock:freezer-1 11:00 lot ZZ-1041: counted 388, 2 fewer than the book" in page


def test_a_number_that_is_none_opens_no_rows(hall):
    assert "Close these rows" not in rows(hall, "cats")


def test_a_hold_is_a_stop_in_the_alert_load_of_its_hour(hall):
    [code] = on_the_table(hall)
    before = rows(hall, "load")
    holds.hold(hall.site, hall.doing(HAZEL, "12:00", why="shaken"), [code])
    after = rows(hall, "load")
    assert ", 0 of them stops" in before
    assert ", 1 of them stops" in after
