"""The close-out: the sum, what stands before the signatures, counts, two signatures."""

from tests.cast import BRYONY, HAZEL, PINS, ROWAN
from tests.web.hall import text
from tests.web.test_draw_table import on_the_table

from thawline.app import vials
from thawline.base.roles import Role
from thawline.ledger.events import CountTaken, DayClosed, DoseNotFound

SECOND = {"_second": BRYONY, "_second_pin": PINS[BRYONY]}
TODAY = "2026-02-03"


def lead(hall):
    hall.employ(BRYONY, Role.CLINICAL_LEAD)
    return hall.browser(ROWAN, Role.SITE_LEAD)


def test_the_sum_says_by_how_much_it_is_off(hall):
    on_the_table(hall)
    page = text(hall.get(lead(hall), "/close-out"))
    assert "Opening 0 + received 400 + extra 0 = given 0 + wasted 0" in page
    assert "+ missing 0 + sent 0 + left 400 : 0 off" in page


def test_an_open_vial_stands_before_the_signatures_and_nobody_can_sign(hall):
    [code] = on_the_table(hall)
    vials.open_vial(hall.site, hall.doing(wall="10:02"), code)
    browser = lead(hall)
    page = text(hall.get(browser, "/close-out"))
    assert f"Stop: Vial {code} is open with 10 doses left by the book" in page
    assert "Sign the close-out" not in page
    hall.press(browser, "sign-close-out", day=TODAY, **SECOND)
    assert not any(isinstance(each.event, DayClosed) for each in hall.entries())


def test_no_command_of_the_terminal_stands_on_the_page(hall):
    [code] = on_the_table(hall)
    vials.open_vial(hall.site, hall.doing(wall="10:02"), code)
    vials.draw(hall.site, hall.doing(wall="10:03"), code)
    assert "thawline " not in text(hall.get(lead(hall), "/close-out"))


def test_two_people_sign_a_day_that_balances(hall):
    on_the_table(hall)
    browser = lead(hall)
    assert "Sign the close-out of Tue 3 Feb" in text(hall.get(browser, "/close-out"))
    after = hall.press(browser, "sign-close-out", day=TODAY, **SECOND, _next="/close-out")
    closed = hall.entries()[-1]
    assert isinstance(closed.event, DayClosed)
    assert (closed.by, closed.event.second, closed.event.left) == (ROWAN, BRYONY, 400)
    assert "Signed." in text(after)


def test_one_person_alone_or_with_a_wrong_pin_closes_nothing(hall):
    on_the_table(hall)
    browser = lead(hall)
    alone = hall.press(browser, "sign-close-out", day=TODAY)
    wrong = hall.press(
        browser, "sign-close-out", day=TODAY, _second=BRYONY, _second_pin="000000"
    )
    twice = hall.press(
        browser, "sign-close-out", day=TODAY, _second=ROWAN, _second_pin=PINS[ROWAN]
    )
    assert {alone.status_code, wrong.status_code, twice.status_code} == {403}
    assert not any(isinstance(each.event, DayClosed) for each in hall.entries())


def test_a_count_is_compared_with_the_book_and_what_is_off_is_said(hall):
    on_the_table(hall)
    fields = {"place": "freezer-1", "doses": "380", "_next": "/close-out"}
    after = text(hall.press(lead(hall), "count", **fields))
    counted = hall.entries()[-1].event
    assert isinstance(counted, CountTaken)
    assert (counted.place, counted.lot, counted.book) == ("stock:freezer-1", "ZZ-1041", 390)
    assert "counted 380, 10 fewer than the book" in after
    assert "380 at 12:00, 10 fewer than the book" in after


def test_a_scanned_vial_is_counted_by_its_code(hall):
    [code] = on_the_table(hall)
    hall.press(lead(hall), "count", place=code.lower(), doses="10")
    counted = hall.entries()[-1].event
    assert (counted.place, counted.lot, counted.doses) == (f"vial:{code}", "ZZ-1041", 10)


def test_a_unit_that_holds_nothing_by_the_book_is_asked_about(hall):
    on_the_table(hall)
    answer = hall.press(lead(hall), "count", place="freezer-9", doses="1")
    assert answer.status_code == 422
    assert "which lot in freezer-9" in text(answer)


def test_a_dose_is_recorded_as_not_found_by_two_people_who_looked(hall):
    [code] = on_the_table(hall)
    vials.open_vial(hall.site, hall.doing(wall="10:02"), code)
    vials.draw(hall.site, hall.doing(HAZEL, "10:03", station="table-1"), code)
    browser = lead(hall)
    page = text(hall.get(browser, "/close-out"))
    assert "table-1, 10:03 (about 4 in 10)" in page
    fields = {"place": f"{code}-01", "doses": "1", "_why": "trays and sharps box", **SECOND}
    hall.press(browser, "not-found", **fields)
    lost = hall.entries()[-1].event
    assert isinstance(lost, DoseNotFound)
    assert (lost.place, lost.second) == (f"syringe:{code}-01", BRYONY)


def owing(hall, last: int = 2) -> None:
    """Let a tablet say that it counted so many entries, of which none has arrived."""
    browser = hall.browser(HAZEL, Role.PREPARER, station="table-1")
    hall.client_post(browser, "/api/heard", {"tablet": "a1b2c3d4", "last": last})


def test_a_tablet_that_owes_entries_stands_on_the_page_by_its_numbers(hall):
    owing(hall)
    page = text(hall.get(lead(hall), "/close-out"))
    assert "Act: tablet a1b2c3d4, table-1: entries 1 to 2 never arrived" in page


def test_a_day_is_not_signed_while_a_tablet_owes_entries_and_nobody_names_it(hall):
    on_the_table(hall)
    owing(hall)
    browser = lead(hall)
    for without in ("", "another tablet"):
        hall.press(browser, "sign-close-out", day=TODAY, without=without, **SECOND)
    assert not any(isinstance(each.event, DayClosed) for each in hall.entries())


def test_two_people_who_name_the_tablet_sign_without_it_and_the_entry_keeps_that(hall):
    on_the_table(hall)
    owing(hall)
    told = {"day": TODAY, "without": "Tablet A1B2C3D4", **SECOND}
    hall.press(lead(hall), "sign-close-out", **told)
    closed = hall.entries()[-1]
    assert isinstance(closed.event, DayClosed)
    said = [each.says for each in closed.findings if each.code == "entries-missing"]
    assert said == ["tablet a1b2c3d4, table-1: entries 1 to 2 never arrived"]
