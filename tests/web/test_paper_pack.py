"""The paper pack: what a site works by when the power goes."""

import pytest
from tests.web.hall import text
from tests.web.people import (
    FEN,
    HAZEL,
    MARSH,
    MARSH_NAME,
    ROWAN,
    booked,
    compared,
    syringes,
)

from thawline.app import meeting, vials
from thawline.app.holds import hold
from thawline.app.ports import Name
from thawline.base.roles import Role
from thawline.web.looking import looks

SHEETS = ("Vials", "Draw table", "Front desk", "Chair", "Observation area")


@pytest.fixture
def lead(hall):
    return hall.browser(ROWAN, Role.SITE_LEAD)


def pack(hall, browser, address="/paper-pack"):
    return text(hall.get(browser, address))


def sheet(page, name):
    """Return what one sheet says, from its heading to the next."""
    after = page[page.index(f"{name} Harrowmint") :]
    rest = [after.index(f"{other} Harrowmint") for other in SHEETS if other != name
            and f"{other} Harrowmint" in after]  # fmt: skip
    return after[: min(rest, default=len(after))]


def test_each_station_has_a_sheet_with_its_hour_and_the_version_of_the_rules(hall, lead):
    page = pack(hall, lead)
    for name in SHEETS:
        said = sheet(page, name)
        assert "As things stood at 12:00" in said
        assert "version 2" in said
        assert "Local codes and licensed practice decide" in said


def test_the_vials_sheet_has_what_is_out_of_the_freezer_and_its_use_by(hall, lead):
    vial = syringes(hall)[0].partition("-")[0]
    said = sheet(pack(hall, lead), "Vials")
    # example-10 version 2: opened at 10:02, use within six hours
    assert f"{vial} ZZ-1041 8 open 16:02" in said
    assert "Old from 16:02" in said


def test_a_held_vial_says_so_on_paper(hall, lead):
    vial = syringes(hall)[0].partition("-")[0]
    hold(hall.site, hall.doing(why="shaken"), [vial])
    assert f"{vial} ZZ-1041 8 HELD \u2013 DO NOT USE" in sheet(pack(hall, lead), "Vials")


def test_a_vial_past_its_use_by_says_do_not_use_on_paper_too(hall, lead):
    vial = syringes(hall)[0].partition("-")[0]
    hall.clock("16:03")  # opened at 10:02, six hours
    lead = hall.browser(ROWAN, Role.SITE_LEAD)
    assert f"{vial} ZZ-1041 8 open, do not use 16:02" in sheet(pack(hall, lead), "Vials")


def test_an_empty_vial_is_not_on_paper(hall, lead):
    vial = syringes(hall, 10)[0].partition("-")[0]
    assert vial not in sheet(pack(hall, lead), "Vials")


def test_a_discarded_vial_is_not_on_paper(hall, lead):
    vial = syringes(hall)[0].partition("-")[0]
    vials.discard(hall.site, hall.doing(HAZEL), vial, "leftover")
    assert vial not in sheet(pack(hall, lead), "Vials")


def test_the_draw_tables_sheet_prints_the_clocks_and_the_chairs_the_needles(hall, lead):
    page = pack(hall, lead)
    assert "C4 Open: 6 h from opening" in sheet(page, "Draw table")
    assert "at 90 degrees" in sheet(page, "Chair")
    assert "B1 Second dose 28 days after the first or later" in sheet(page, "Chair")
    assert "E7 Call emergency medical services" in sheet(page, "Observation area")


def test_the_desks_sheet_has_who_is_still_to_come_by_code(hall, lead):
    booked(hall, MARSH, "12:20")
    booked(hall, FEN, "11:40", name=Name("Sorrel Kettlewick", "1961-02-03"))
    compared(hall, FEN)
    said = sheet(pack(hall, lead), "Front desk")
    assert f"12:20 {MARSH} 1" in said
    assert FEN not in said, "who has come is not to come"
    assert MARSH_NAME not in said


def test_who_was_given_a_later_place_is_not_to_come_today(hall, lead):
    booked(hall, MARSH, "12:20")
    booked(hall, MARSH, "12:50")
    said = sheet(pack(hall, lead), "Front desk")
    assert f"12:50 {MARSH} 1" in said
    assert "12:20" not in said


def test_somebody_else_with_the_same_name_is_not_who_came(hall, lead):
    booked(hall, MARSH, "12:20")
    differs = meeting.Heard(("name",), ("born",))
    meeting.hear(hall.site, hall.doing(), MARSH, differs)
    assert f"12:20 {MARSH} 1" in sheet(pack(hall, lead), "Front desk")


def test_names_are_printed_only_when_asked_for_and_are_noted(hall):
    booked(hall, MARSH, "12:20")
    desk = hall.browser(HAZEL, Role.REGISTRAR, station="desk-1")
    assert MARSH_NAME not in pack(hall, desk)
    assert looks().newest(9) == []
    assert f"12:20 {MARSH} {MARSH_NAME} 1984-05-06 1" in pack(hall, desk, "/paper-pack?names")
    assert [(look.by, look.screen, look.person) for look in looks().newest(9)] == [
        (HAZEL, "paper-pack", MARSH)
    ]


def test_whoever_may_not_see_names_is_printed_none(hall, lead):
    booked(hall, MARSH, "12:20")
    assert MARSH_NAME not in pack(hall, lead, "/paper-pack?names")
    assert looks().newest(9) == []
