"""Vials and the page of one: found by a scan, carried with the price said, held, released."""

from tests.cast import BRYONY, HAZEL, PINS, ROWAN
from tests.web.hall import text
from tests.web.test_draw_table import on_the_table

from thawline.app import holds, vials
from thawline.app.receiving import Label, receive_frozen
from thawline.base.roles import Role
from thawline.ledger.events import VialHeld, VialMoved, VialReleased
from thawline.receive.inspection import Arrival

HELD = "HELD \N{EN DASH} DO NOT USE"


def in_the_fridge(hall, count: int, since: str = "04:00") -> list[str]:
    """Return vials that are in the refrigerator since then."""
    label = Label("ZZ-1041", "2026-08")
    arrival = Arrival(40, 40, None)
    receive_frozen(hall.site, hall.doing(wall="01:00"), label, "freezer-1", arrival)
    doing = hall.doing(wall=since)
    out = vials.take_out(hall.site, doing, "ZZ-1041", "freezer-1", count, "fridge")
    return list(out.event.vials)


def coordinator(hall):
    """Return the browser of somebody who keeps the vials."""
    return hall.browser(ROWAN, Role.VACCINE_COORDINATOR)


def test_a_scanned_code_opens_the_page_of_its_vial(hall):
    [code] = in_the_fridge(hall, 1)
    answer = hall.get(coordinator(hall), "/vials", data={"code": code.lower()})
    assert answer["Location"] == f"/vial/{code}"


def test_a_code_that_is_nearly_right_is_offered_and_nothing_is_guessed(hall):
    [code] = in_the_fridge(hall, 1)
    wrong = code[:-1] + ("A" if code[-1] != "A" else "C")
    page = text(hall.get(coordinator(hall), "/vials", data={"code": wrong}))
    assert f"No vial {wrong} here. Did you mean {code}" in page


def test_a_syringes_code_opens_the_page_of_its_vial(hall):
    [code] = on_the_table(hall)
    vials.open_vial(hall.site, hall.doing(wall="10:02"), code)
    vials.draw(hall.site, hall.doing(wall="10:03"), code)
    answer = hall.get(coordinator(hall), "/vials", data={"code": f"{code}-01"})
    assert answer["Location"] == f"/vial/{code}"


def test_vials_that_stand_alike_are_one_row(hall):
    in_the_fridge(hall, 12)
    page = text(hall.get(coordinator(hall), "/vials"))
    assert "12 vials, by use-by" in page
    assert "12 vials, first" in page


def test_carrying_to_the_table_says_what_it_starts_before_it_is_pressed(hall):
    in_the_fridge(hall, 3)
    hall.clock("06:50")
    page = text(hall.get(coordinator(hall), "/vials"))
    assert "To the table: room time starts, ready 07:05" in page


def test_two_of_three_go_to_the_table_that_was_named(hall):
    codes = in_the_fridge(hall, 3)
    browser = coordinator(hall)
    asked = {"vials": " ".join(codes), "count": "2", "station": "table-2"}
    hall.press(browser, "to-table", **asked, _next="/vials")
    moved = hall.entries()[-1]
    assert isinstance(moved.event, VialMoved)
    assert (moved.event.vials, moved.station) == (tuple(codes[:2]), "table-2")


def test_more_vials_than_there_are_go_nowhere(hall):
    codes = in_the_fridge(hall, 2)
    before = len(hall.entries())
    answer = hall.press(coordinator(hall), "to-table", vials=" ".join(codes), count="3")
    assert (answer.status_code, len(hall.entries())) == (422, before)


def test_a_vial_on_the_table_is_offered_no_way_back_unless_the_protocol_says_so(hall):
    on_the_table(hall)
    page = text(hall.get(coordinator(hall), "/vials"))
    assert "Back to the fridge" not in page


def test_taking_vials_out_of_the_freezer_says_until_when_they_keep(hall):
    in_the_fridge(hall, 1)
    browser = coordinator(hall)
    assert "To the fridge: chilled until 12:00 Thu 5 Mar" in text(hall.get(browser, "/vials"))
    asked = {"unit": "freezer-1", "lot": "ZZ-1041", "count": "2", "to": "fridge"}
    after = hall.press(browser, "take-out", **asked, _next="/vials")
    codes = hall.entries()[-1].event.vials
    assert f"Write the flags: {codes[0]}, {codes[1]}" in text(after)


def test_anybody_of_the_clinic_holds_a_vial_and_its_page_says_so(hall):
    [code] = on_the_table(hall)
    after = hall.press(
        hall.browser(HAZEL, Role.RUNNER), "hold-vial", vial=code, _next=f"/vial/{code}"
    )
    assert isinstance(hall.entries()[-1].event, VialHeld)
    assert f"{HELD}. Do not discard it; keep it cold and apart; call" in text(after)


def held(hall) -> str:
    """Return a vial that is held."""
    [code] = on_the_table(hall)
    holds.hold(hall.site, hall.doing(HAZEL, why="shaken"), [code])
    return code


def test_a_release_takes_two_people_each_by_their_own_entry(hall):
    code = held(hall)
    hall.employ(BRYONY, Role.CLINICAL_LEAD)
    browser = hall.browser(ROWAN, Role.VACCINE_COORDINATOR)
    said = {"vial": code, "called": "the maker", "answer": "may be used", "_why": "looked at"}
    alone = hall.press(browser, "release-vial", **said)
    named = hall.press(browser, "release-vial", **said, _second=BRYONY, _second_pin="000000")
    assert (alone.status_code, named.status_code) == (403, 403)
    hall.press(browser, "release-vial", **said, _second=BRYONY, _second_pin=PINS[BRYONY])
    released = hall.entries()[-1].event
    assert isinstance(released, VialReleased)
    assert (released.second, released.answer) == (BRYONY, "may be used")


def test_a_runner_is_shown_no_release_of_a_held_vial(hall):
    code = held(hall)
    page = text(hall.get(hall.browser(HAZEL, Role.RUNNER), f"/vial/{code}"))
    assert HELD in page
    assert f"Release {code}" not in page


def test_a_vials_page_tells_its_life_its_syringes_and_its_balance(hall):
    [code] = on_the_table(hall)
    vials.open_vial(hall.site, hall.doing(HAZEL, "10:02"), code)
    vials.draw(hall.site, hall.doing(HAZEL, "10:05", station="table-1"), code, 2)
    page = text(hall.get(coordinator(hall), f"/vial/{code}"))
    assert "Came 10 doses = drawn 2 + wasted 0 + left 8" in page
    assert f"{code}-01 table-1 drawn, neither given nor wasted" in page
    assert "thawing since 04:00, chilled since 06:30, warming since 06:35, ready since" in page


def test_vials_are_taken_out_to_the_fridge_or_the_table_and_nowhere_else(hall):
    in_the_fridge(hall, 1)
    asked = {"unit": "freezer-1", "lot": "ZZ-1041", "count": "1", "to": "shelf"}
    answer = hall.press(coordinator(hall), "take-out", **asked)
    assert answer.status_code == 422
    assert "vials go to no" in text(answer)
