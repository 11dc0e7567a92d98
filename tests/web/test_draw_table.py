"""The draw table: which vial is next, what the button says it starts, what a press records."""

from tests.cast import HAZEL, ROWAN
from tests.web.hall import text

from thawline.app import vials
from thawline.app.receiving import Label, receive_frozen
from thawline.base.roles import Role
from thawline.ledger.events import DoseDrawn, VialPunctured
from thawline.receive.inspection import Arrival


def on_the_table(hall, count: int = 1) -> list[str]:
    """Return vials that stand on table 1, ready; in the refrigerator since 04:00."""
    doing = hall.doing
    receive_frozen(
        hall.site,
        doing(wall="01:00"),
        Label("ZZ-1041", "2026-08"),
        "freezer-1",
        Arrival(40, 40, None),
    )
    out = vials.take_out(
        hall.site, doing(wall="04:00"), "ZZ-1041", "freezer-1", count, "fridge"
    )
    codes = list(out.event.vials)
    vials.move(hall.site, doing(wall="06:35", station="table-1"), codes, "table")
    return codes


def test_the_button_says_the_clock_that_opening_starts(hall):
    [code] = on_the_table(hall)
    hall.clock("10:02")
    page = hall.get(hall.browser(HAZEL, Role.PREPARER, station="table-1"), "/draw-table")
    assert f"Open {code}: use by 16:02" in text(page)


def test_a_table_typed_with_a_capital_is_the_same_table(hall):
    [code] = on_the_table(hall)
    page = hall.get(hall.browser(HAZEL, Role.PREPARER, station="Table-1"), "/draw-table")
    assert f"Open {code}" in text(page)


def test_one_press_opens_and_one_press_draws_a_dose(hall):
    [code] = on_the_table(hall)
    hall.clock("10:02")
    browser = hall.browser(HAZEL, Role.PREPARER, station="table-1")
    hall.press(browser, "open-vial", vial=code, _next="/draw-table")
    after = hall.press(browser, "draw-dose", vial=code, _next="/draw-table")
    *_, opened, drawn = hall.entries()
    assert (type(opened.event), opened.by, opened.station) == (VialPunctured, HAZEL, "table-1")
    assert (type(drawn.event), len(drawn.event.syringes)) == (DoseDrawn, 1)
    assert "9 doses left use by 16:02" in text(after)
    assert f"1 dose drawn from {code}" in text(after)


def test_a_vial_past_its_use_by_cannot_be_drawn_from_and_the_page_says_stop(hall):
    [code] = on_the_table(hall)
    hall.clock("10:02")
    browser = hall.browser(HAZEL, Role.PREPARER, station="table-1")
    hall.press(browser, "open-vial", vial=code)
    hall.clock("16:02")
    after = hall.press(browser, "draw-dose", vial=code, _next="/draw-table")
    assert "Stop: " in text(after)
    assert not any(isinstance(each.event, DoseDrawn) for each in hall.entries())


def test_a_press_that_is_sent_twice_is_recorded_once(hall):
    [code] = on_the_table(hall)
    hall.clock("10:02")
    browser = hall.browser(HAZEL, Role.PREPARER)
    first = hall.send(browser, "open-vial", {"vial": code})
    again = hall.send(browser, "open-vial", {"vial": code}, id=first.json()["id"])
    assert (first.status_code, again.status_code) == (200, 200)
    assert (again.json()["hash"], again.json()["again"]) == (first.json()["hash"], True)
    assert sum(isinstance(each.event, VialPunctured) for each in hall.entries()) == 1


def test_a_registrar_has_no_draw_table_and_cannot_draw(hall):
    [code] = on_the_table(hall)
    browser = hall.browser(ROWAN, Role.REGISTRAR)
    assert hall.get(browser, "/draw-table").status_code == 403
    assert hall.send(browser, "draw-dose", {"vial": code}).status_code == 403
    assert hall.send(hall.browser(), "draw-dose", {"vial": code}).status_code == 401


def test_an_act_is_undone_by_whoever_did_it_and_both_lines_stay(hall):
    [code] = on_the_table(hall)
    hall.clock("10:02")
    browser = hall.browser(HAZEL, Role.PREPARER)
    hall.press(browser, "open-vial", vial=code)
    drawn = hall.send(browser, "draw-dose", {"vial": code}).json()
    before = len(hall.entries())
    hall.press(browser, "undo", entry=drawn["id"])
    assert len(hall.entries()) == before + 1
    other = hall.browser("Sorrel Kettlewick", Role.PREPARER)
    again = hall.send(browser, "draw-dose", {"vial": code}).json()
    assert hall.send(other, "undo", {"entry": again["id"]}).status_code == 403


def test_after_a_press_one_is_back_on_the_page_it_was_pressed_on(hall):
    [code] = on_the_table(hall)
    browser = hall.browser(HAZEL, Role.PREPARER)
    page = hall.get(browser, f"/vial/{code}").content.decode()
    assert f'name="_next" value="/vial/{code}"' in page
