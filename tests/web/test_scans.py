"""What a scan means on a screen: by content, never by the field that has the focus."""

import pytest
from tests.cast import BRYONY, HAZEL, LOT, at
from tests.web.test_draw_table import on_the_table

from thawline.app import holds, vials
from thawline.app.acts import Second
from thawline.base.roles import Role
from thawline.exchange.typed import TEST_CODE
from thawline.web.acts import acts
from thawline.web.cards import CARDS
from thawline.web.holds_seen import unshown

ITEM = "0109506000134352"  # the example of the GS1 General Specifications


def scan(hall, browser, typed: str, **more) -> dict:
    answer = hall.client_post(browser, "/api/scan", {"text": typed, **more})
    return answer.json() | {"status": answer.status_code}


@pytest.fixture
def browser(hall):
    hall.clock("10:02")
    return hall.browser(HAZEL, Role.PREPARER, station="table-1")


def test_a_vial_is_found_by_its_code_in_small_letters_too(hall, browser):
    [code] = on_the_table(hall)
    meant = scan(hall, browser, code.lower())
    assert (meant["taken"], meant["thing"], meant["goto"]) == (True, "vial", f"/vial/{code}")
    assert "ready" in meant["says"]


def test_a_code_that_nobody_bears_here_brings_the_near_one(hall, browser):
    [code] = on_the_table(hall)
    wrong = code[0] + code[2] + code[1] + code[3:]  # two neighbours change places
    meant = scan(hall, browser, wrong)
    assert meant["says"] == f"No vial {wrong} here. Did you mean {code}?"
    assert (meant["taken"], meant["offers"][0]["text"]) == (False, code)


def test_a_drawn_syringe_is_found_and_one_that_was_never_drawn_is_not(hall, browser):
    [code] = on_the_table(hall)
    vials.open_vial(hall.site, hall.doing(), code)
    vials.draw(hall.site, hall.doing(), code)
    assert scan(hall, browser, f"{code}-01")["thing"] == "syringe"
    assert scan(hall, browser, f"{code}-02")["taken"] is False


def test_a_badge_is_a_badge_on_every_screen(hall, browser):
    assert scan(hall, browser, f"B-{HAZEL}")["thing"] == "badge"


def test_on_an_empty_screen_only_a_badge_is_known(hall):
    hall.employ(HAZEL, Role.PREPARER)
    [code] = on_the_table(hall)
    nobody = hall.browser()
    assert scan(hall, nobody, code)["status"] == 401
    assert scan(hall, nobody, f"B-{HAZEL}")["taken"] is True


def test_a_command_card_is_the_button_of_its_name(hall, browser):
    assert scan(hall, browser, "CARD1DRAWN")["act"] == "draw-dose"


def test_every_command_card_is_the_button_of_an_act_that_there_is():
    assert [card.text for card in CARDS if card.act not in acts()] == []


def test_a_carton_is_read_and_its_lot_compared(hall, browser):
    on_the_table(hall)
    meant = scan(hall, browser, f"{ITEM}10{LOT}17260800")
    assert meant["fields"] == {"lot": LOT, "expiry": "2026-08-31", "gtin": ITEM[2:]}


def test_a_carton_whose_expiry_is_not_that_of_its_lot_is_not_taken(hall, browser):
    on_the_table(hall)
    meant = scan(hall, browser, f"{ITEM}10{LOT}17260700")
    assert (meant["taken"], "do not discard" in meant["says"]) == (False, True)


def test_a_lot_that_was_never_here_is_said_to_be_so(hall, browser):
    assert "not on the site's record" in scan(hall, browser, f"{ITEM}10NEW-1")["says"]


def test_a_swapped_keyboard_with_caps_lock_still_finds_the_vial(hall, browser):
    [code] = on_the_table(hall)
    typed = code.translate(str.maketrans("yzYZ", "zyZY")).swapcase()
    assert scan(hall, browser, typed, swapped=True, caps=True)["code"] == code


@pytest.mark.parametrize("typed", ["", " ", "\x1d", "x" * 201, "<script>", "HK47", "🜁" * 9])
def test_what_is_no_code_is_not_taken(hall, browser, typed):
    meant = scan(hall, browser, typed)
    assert (meant["status"], meant["taken"]) == (200, False)


def test_two_scans_of_the_test_code_teach_the_tablet(hall, browser):
    typed = TEST_CODE.replace("\x1d", "")
    told = hall.client_post(browser, "/api/scanner", {"first": typed, "second": typed}).json()
    assert told["typing"]["separator"] == ""
    assert "ASCII 29" in told["advice"][0]


def test_the_test_page_and_the_cards_are_shown_to_whoever_works_here(hall, browser):
    for path, says in (("/scanner-test", "Scan this code twice"), ("/command-cards", "1 dose")):
        page = hall.get(browser, path).content.decode()
        assert says in page
        assert "<svg" in page


def test_a_hold_names_the_tablets_that_have_not_shown_it(hall, browser):
    [code] = on_the_table(hall)
    hall.client_post(browser, "/api/heard", {"tablet": "aaaa1111"})
    hall.client_post(browser, "/api/heard", {"tablet": "bbbb2222"})
    out = holds.hold(hall.site, hall.doing(why="shaken"), [code])[0]
    shown = {"tablet": "aaaa1111", "holds": [out.receipt.seq]}
    hall.client_post(browser, "/api/heard", shown)
    with hall.site.ledger.view() as view:
        [still] = unshown(view, at("10:03"))
    assert still.devices == ("tablet bbbb2222, table-1",)
    assert still.hold.held == (code,)


def test_a_hold_that_was_released_need_not_be_shown_any_more(hall, browser):
    [code] = on_the_table(hall)
    hall.client_post(browser, "/api/heard", {"tablet": "aaaa1111"})
    holds.hold(hall.site, hall.doing(why="shaken"), [code])
    holds.hold_lot(hall.site, hall.doing(why="notice 7"), LOT, "7")
    second = Second(BRYONY, by_own_entry=True)
    hall.clock("10:05")
    asked = holds.Asked("the maker", "may be used", "7-1")
    holds.release(hall.site, hall.doing(why="looked at", second=second), [code], asked)
    with hall.site.ledger.view() as view:
        standing = unshown(view, at("10:06"))
    assert [each.hold.held for each in standing] == [(f"lot {LOT}",)]


def test_every_page_carries_the_holds_that_stand(hall, browser):
    one, other = on_the_table(hall, 2)
    seq = holds.hold(hall.site, hall.doing(why="shaken"), [one, other])[0].receipt.seq
    page = hall.get(browser, "/draw-table").content.decode()
    assert f'data-holds="{seq} "' in page
    assert one in page
    assert other in page
