"""The page of a lot: held in one act, released by two, and who had a dose of it."""

from tests.cast import BRYONY, HAZEL, PINS, ROWAN
from tests.web.hall import text
from tests.web.test_draw_table import on_the_table
from tests.web.test_today import given

from thawline.app import vials
from thawline.app.ports import Name
from thawline.base.roles import Role
from thawline.ledger.events import LotHeld, LotReleased

HELD = "HELD \N{EN DASH} DO NOT USE"


def test_one_press_holds_a_lot_with_its_vials_and_drawn_syringes(hall):
    [code] = on_the_table(hall)
    vials.open_vial(hall.site, hall.doing(HAZEL, "10:02", station="table-1"), code)
    vials.draw(hall.site, hall.doing(HAZEL, "10:03", station="chair-2"), code)
    browser = hall.browser(HAZEL, Role.RUNNER)
    fields = {"lot": "ZZ-1041", "notice": "N-7", "_why": "withdrawn", "_next": "/lot/ZZ-1041"}
    after = text(hall.press(browser, "hold-lot", **fields))
    event = hall.entries()[-1].event
    assert isinstance(event, LotHeld)
    assert (event.lot, event.notice) == ("ZZ-1041", "N-7")
    assert f"{HELD}. Do not discard any of it; keep it cold and apart; call." in after
    assert f"{code}-01 chair-2" in after
    assert HELD in text(hall.get(browser, f"/vial/{code}"))
    assert "not confirmed it: chair-2" in text(hall.get(browser, "/carries"))


def test_a_lot_is_released_by_two_people(hall):
    on_the_table(hall)
    hall.employ(BRYONY, Role.CLINICAL_LEAD)
    browser = hall.browser(ROWAN, Role.VACCINE_COORDINATOR)
    hall.press(browser, "hold-lot", lot="ZZ-1041", _why="withdrawn")
    said = {"lot": "ZZ-1041", "_why": "the health department said so"}
    assert hall.press(browser, "release-lot", **said).status_code == 403
    hall.press(browser, "release-lot", **said, _second=BRYONY, _second_pin=PINS[BRYONY])
    assert isinstance(hall.entries()[-1].event, LotReleased)


def test_names_are_shown_to_the_clinical_lead_and_codes_to_others(hall):
    given(hall)
    hall.site.people.put("P-1", Name("Linden Nobody", phone="555-0170", language="es"))
    lead = text(hall.get(hall.browser(BRYONY, Role.CLINICAL_LEAD), "/lot/ZZ-1041"))
    runner = text(hall.get(hall.browser(HAZEL, Role.RUNNER), "/lot/ZZ-1041"))
    assert "P-1 Linden Nobody 555-0170 es" in lead
    assert "P-1" in runner
    assert "Linden" not in runner


def test_a_lot_that_was_never_here_is_not_found(hall):
    on_the_table(hall)
    answer = hall.get(hall.browser(HAZEL, Role.RUNNER), "/lot/ZZ-9999")
    assert answer.status_code == 404
