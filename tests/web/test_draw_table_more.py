"""The draw table when something is not as usual: short, extra, wasted, wrong, mixed."""

from tests.cast import HAZEL, SORREL
from tests.web.hall import text
from tests.web.test_draw_table import on_the_table

from thawline.app import vials
from thawline.app.needle_sticks import AT_ONCE
from thawline.app.receiving import Label, receive_frozen
from thawline.base.roles import Role
from thawline.ledger.events import DoseDrawn, DoseWasted, VialHeld
from thawline.receive.inspection import Arrival


def opened(hall, count: int = 1, by: str = HAZEL):
    """Return vials on table 1, the first opened 10:02 by somebody, and their browser."""
    codes = on_the_table(hall, count)
    hall.clock("10:02")
    browser = hall.browser(by, Role.PREPARER, station="table-1")
    hall.press(browser, "open-vial", vial=codes[0])
    return codes, browser


def test_the_steps_are_the_protocols_own_words_with_their_items(hall):
    _, browser = opened(hall)
    page = text(hall.get(browser, "/draw-table"))
    assert "A dose is 0.5 mL, 10 doses a vial. Swirl before each draw, never shake." in page
    assert "never put together. D2 D1" in page


def test_a_short_vial_is_wasted_in_one_press_for_its_cause(hall):
    [code], browser = opened(hall)
    hall.press(browser, "draw-dose", vial=code, doses="9")
    hall.press(browser, "short-vial", vial=code, _next="/draw-table")
    wasted = hall.entries()[-1].event
    assert (wasted.place, wasted.doses, wasted.cause) == (f"vial:{code}", 1, "short-volume")


def test_a_vial_that_the_book_has_empty_is_never_called_short(hall):
    [code], browser = opened(hall)
    hall.press(browser, "draw-dose", vial=code, doses="10")
    answer = hall.press(browser, "short-vial", vial=code)
    assert answer.status_code == 422
    assert not any(isinstance(each.event, DoseWasted) for each in hall.entries())


def test_an_eleventh_full_dose_is_offered_and_drawn_and_a_twelfth_never(hall):
    [code], browser = opened(hall)
    after = hall.press(browser, "draw-dose", vial=code, doses="10", _next="/draw-table")
    assert f"Extra dose drawn from {code}" in text(after)
    after = hall.press(browser, "draw-dose", vial=code, _next="/draw-table")
    assert hall.entries()[-1].event.extra == 1
    assert "Extra dose drawn from" not in text(after)


def test_each_cause_of_waste_is_one_press(hall):
    [code], browser = opened(hall)
    page = text(hall.get(browser, "/draw-table"))
    assert "Leaked, dropped or pulled away" in page
    hall.press(browser, "waste-dose", vial=code, cause="spilled", _next="/draw-table")
    assert hall.entries()[-1].event.cause == "spilled"


def test_something_wrong_holds_the_vial_and_names_the_stations_of_its_syringes(hall):
    [code], browser = opened(hall)
    hall.press(browser, "draw-dose", vial=code)
    after = text(hall.press(browser, "hold-vial", vial=code, _next="/draw-table"))
    held = hall.entries()[-1].event
    assert isinstance(held, VialHeld)
    assert held.vials == (code,)
    assert f"{code}-01 at table-1" in after
    assert "HELD \N{EN DASH} DO NOT USE" in after
    assert "Do not discard it; keep it cold and apart; call" in after
    assert "1 dose drawn" not in after.partition("drawn syringe")[0]


def test_a_needle_stick_keeps_a_private_card_and_wastes_the_dose(hall):
    [code], browser = opened(hall)
    after = text(hall.press(browser, "needle-stick-drawing", vial=code, _next="/draw-table"))
    assert hall.entries()[-1].event.cause == "needle-stick"
    assert hall.site.people.exposures()[0]["who"] == HAZEL
    assert AT_ONCE[0].rstrip(".") in after


def test_drawn_syringes_that_nobody_was_given_are_listed_and_may_be_wasted(hall):
    [code], browser = opened(hall)
    after = hall.press(browser, "draw-dose", vial=code, _next="/draw-table")
    assert "1 drawn syringe lies here, neither given nor wasted" in text(after)
    after = hall.press(
        browser, "waste-syringe", syringe=f"{code}-01", cause="not-taken", _next="/draw-table"
    )
    assert hall.entries()[-1].event.place == f"syringe:{code}-01"
    assert "drawn syringe lies here" not in text(after)


def test_each_preparer_draws_from_their_own_vial_and_may_open_one(hall):
    codes, _ = opened(hall, 2)
    other = hall.browser(SORREL, Role.PREPARER, station="table-1")
    page = text(hall.get(other, "/draw-table"))
    assert f"Draw from this vial next, opened by {HAZEL}" in page
    assert f"Open {codes[1]}: use by 16:02" in page
    after = hall.press(other, "open-vial", vial=codes[1], _next="/draw-table")
    assert f"Draw from this vial next. One line is one dose. {codes[1]}" in text(after)


def test_a_preparer_with_an_open_vial_is_offered_no_second_one(hall):
    codes, browser = opened(hall, 2)
    assert f"Open {codes[1]}" not in text(hall.get(browser, "/draw-table"))


def test_two_lots_open_at_one_table_are_asked_about(hall):
    _, browser = opened(hall)
    label = Label("ZZ-1014", "2026-08")
    receive_frozen(hall.site, hall.doing(wall="01:00"), label, "freezer-1", Arrival(4, 4, None))
    out = vials.take_out(
        hall.site, hall.doing(wall="04:10"), "ZZ-1014", "freezer-1", 1, "fridge"
    )
    other = list(out.event.vials)
    vials.move(hall.site, hall.doing(wall="06:40", station="table-1"), other, "table")
    vials.open_vial(hall.site, hall.doing(SORREL, station="table-1"), other[0])
    answer = hall.get(browser, "/draw-table")
    assert "Check: lots ZZ-1041 and ZZ-1014 stand open at one table" in text(answer)
    assert "ZZ-10<b>4</b><b>1</b>" in answer.content.decode()


def test_nothing_may_be_drawn_where_no_vial_stands(hall):
    browser = hall.browser(HAZEL, Role.PREPARER, station="table-9")
    assert "Nothing may be drawn or opened here now" in text(hall.get(browser, "/draw-table"))
    assert not any(isinstance(each.event, DoseDrawn) for each in hall.entries())
