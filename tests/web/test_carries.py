"""Carries: a runner picks up, hands over, and a hold names who has not confirmed it."""

from tests.cast import HAZEL, ROWAN, SORREL
from tests.web.hall import text
from tests.web.test_draw_table import on_the_table

from thawline.app import holds, vials
from thawline.base.roles import Role
from thawline.ledger.carry_events import CarryDone, CarryTaken

GO = "Picked up: I go"


def shaken(hall) -> str:
    """Return a held vial of table-1, one syringe of which is at chair-2."""
    [code] = on_the_table(hall)
    vials.open_vial(hall.site, hall.doing(HAZEL, "10:02", station="table-1"), code)
    vials.draw(hall.site, hall.doing(HAZEL, "10:03", station="chair-2"), code)
    vials.draw(hall.site, hall.doing(HAZEL, "10:04", station="table-1"), code)
    holds.hold(hall.site, hall.doing(HAZEL, "10:10", why="shaken"), [code])
    return code


def key_on(answer) -> str:
    """Return the first carry that a page offers."""
    page = answer.content.decode()
    return page.partition('name="carry" value="')[2].partition('"')[0]


def test_a_hold_lists_the_stations_that_have_not_confirmed_it(hall):
    code = shaken(hall)
    page = text(hall.get(hall.browser(SORREL, Role.RUNNER), "/carries"))
    assert "2 stations have not confirmed it: chair-2 , table-1" in page
    assert f"syringe {code}-01 HELD \u2013 DO NOT USE from chair-2 to the HELD tray" in page


def test_a_runner_goes_until_no_station_is_left(hall):
    shaken(hall)
    browser = hall.browser(SORREL, Role.RUNNER)
    for _ in range(2):
        key = key_on(hall.get(browser, "/carries"))
        hall.press(browser, "take-carry", carry=key)
        after = hall.press(browser, "carry-done", carry=key, _next="/carries")
    assert "Nothing is to be carried now" in text(after)
    events = [type(each.event) for each in hall.entries()[-4:]]
    assert events == [CarryTaken, CarryDone, CarryTaken, CarryDone]


def test_one_who_goes_is_seen_by_the_others_who_may_take_it_over(hall):
    shaken(hall)
    first = hall.browser(SORREL, Role.RUNNER)
    hall.press(first, "take-carry", carry=key_on(hall.get(first, "/carries")))
    page = text(hall.get(hall.browser(ROWAN, Role.RUNNER), "/carries"))
    assert f"{SORREL} goes since 12:00" in page
    assert "I take it over" in page
    assert "Fetched, and they were told" in text(hall.get(first, "/carries"))


def test_an_observer_carries_nothing(hall):
    assert hall.get(hall.browser(ROWAN, Role.OBSERVER), "/carries").status_code == 403


def test_a_tablet_that_has_not_shown_a_hold_stands_on_the_runners_page(hall):
    [code] = on_the_table(hall)
    at_table = hall.browser(HAZEL, Role.PREPARER, station="table-1")
    hall.client_post(at_table, "/api/heard", {"tablet": "a1b2c3d4"})
    seq = holds.hold(hall.site, hall.doing(why="shaken"), [code])[0].receipt.seq
    runner = hall.browser("Retama Buttonbarrow", Role.RUNNER)
    assert f"{code} : tablet a1b2c3d4, table-1" in text(hall.get(runner, "/carries"))
    hall.client_post(at_table, "/api/heard", {"tablet": "a1b2c3d4", "holds": [seq]})
    assert "have not shown the hold" not in text(hall.get(runner, "/carries"))
