"""The chair: checked before the needle, recorded after it, and asked about when it was not."""

import pytest
from tests.cast import BRYONY, HAZEL, PINS
from tests.web.hall import text
from tests.web.people import (
    FEN,
    MARSH,
    MARSH_NAME,
    booked,
    compared,
    events,
    had_first,
    screened,
    syringes,
)

from thawline.app import holds
from thawline.base.roles import Role
from thawline.ledger.events import DoseChecked, DoseGiven, DoseNotGiven, DoseWasted

CHAIR = "chair 1"


@pytest.fixture
def codes(hall):
    """Somebody booked, compared and screened at noon; two drawn syringes."""
    booked(hall)
    compared(hall)
    screened(hall)
    return syringes(hall)


@pytest.fixture
def browser(hall, codes):  # noqa: ARG001  the syringes are drawn first
    """A vaccinator at a chair."""
    return hall.browser(HAZEL, Role.VACCINATOR, station=CHAIR)


def check(hall, browser, code, person=MARSH):
    """Scan a syringe; return the page that comes after."""
    sent = {"person": person, "code": code, "_next": f"/dose/{person}"}
    return hall.press(browser, "check-dose", **sent)


def test_three_acts_record_a_dose_scan_person_scan_syringe_tap_arm(hall, browser, codes):
    person = browser.post("/chair", {"name": MARSH.lower()}, secure=True, follow=True)
    assert f"Compare; never read out. {MARSH_NAME} born 1984-MAY-06" in text(person)
    checked = text(check(hall, browser, codes[0].lower()))
    # Opened 10:02; the example protocol counts 6 hours from there.
    assert f"Dose in hand {codes[0]} lot ZZ-1041 use by 16:02 C4" in checked
    assert "Left arm: dose 1 given" in checked
    after = hall.press(
        browser, "give-dose", person=MARSH, code=codes[0], arm="left", _next="/chair"
    )
    [given] = events(hall, DoseGiven)
    assert (given.person, given.syringe, given.arm) == (MARSH, codes[0], "left")
    assert (given.dose_number, given.given_by, given.screening) == (1, HAZEL, "give-15")
    assert f"{MARSH}: dose 1 from {codes[0]} given, left arm. Undo" in text(after)


def test_dose_one_or_two_stands_large_with_the_arm_of_last_time(hall, browser):
    booked(hall, FEN, dose_number=2)
    had_first(hall, FEN, "2026-01-02")
    page = hall.get(browser, f"/dose/{FEN}")
    assert '<p class="big dose">Dose 2</p>' in page.content.decode()
    assert "Dose by the card 2026-01-02 , arm not known" in text(page)


def test_a_syringe_past_its_use_by_is_refused_at_the_scan(hall, browser, codes):
    hall.clock("16:02")
    page = check(hall, browser, codes[0])
    assert "Stop: " in text(page)
    assert "Do not give this dose." in text(page)
    assert "arm: dose 1 given" not in text(page)
    assert [each.may for each in events(hall, DoseChecked)] == [False]


def test_a_vial_held_after_the_scan_takes_the_arm_buttons_away(hall, browser, codes):
    assert "Left arm: dose 1 given" in text(check(hall, browser, codes[0]))
    vial = codes[0].partition("-")[0]
    holds.hold(hall.site, hall.doing(BRYONY, why="particles"), [vial])
    page = text(hall.get(browser, f"/dose/{MARSH}"))
    assert "Do not give this dose." in page
    assert "arm: dose 1 given" not in page


def test_a_dose_that_went_in_is_recorded_even_when_it_should_not_have(hall, browser, codes):
    hall.clock("16:10")
    answer = hall.send(browser, "give-dose", {"person": MARSH, "code": codes[0]})
    assert answer.status_code == 200
    assert "past-use-by" in {each["code"] for each in answer.json()["findings"]}
    assert [each.arm for each in events(hall, DoseGiven)] == [None]


def test_a_syringe_is_given_once_and_the_second_scan_is_a_stop(hall, browser, codes):
    hall.press(browser, "give-dose", person=MARSH, code=codes[0], arm="left")
    booked(hall, FEN, name=None)
    page = check(hall, browser, codes[0], FEN)
    assert "Stop: " in text(page)
    assert "Do not give this dose." in text(page)


def test_the_next_scan_asks_about_whoever_has_no_dose_recorded(hall, browser, codes):
    check(hall, browser, codes[0])
    booked(hall, FEN)
    page = text(hall.get(browser, f"/dose/{FEN}"))
    assert f"No dose is recorded for {MARSH} , checked at 12:00 with {codes[0]}" in page
    hall.press(browser, "no-dose", person=MARSH, _why="changed mind")
    assert [each.why for each in events(hall, DoseNotGiven)] == ["changed mind"]
    assert "No dose is recorded" not in text(hall.get(browser, f"/dose/{FEN}"))


def test_a_dose_drawn_and_given_at_the_chair_is_named_by_its_vial(hall, browser, codes):
    vial = codes[0].partition("-")[0]
    hall.press(browser, "give-dose", person=MARSH, code=vial, arm="right")
    [given] = events(hall, DoseGiven)
    assert (given.vial, given.syringe, given.arm) == (vial, None, "right")


def test_a_needle_stick_wastes_the_dose_and_keeps_a_card_that_the_record_does_not(
    hall, browser, codes
):
    sent = {"code": codes[0], "used": "yes", "source": MARSH}
    hall.press(browser, "needle-stick", **sent, _why="while capping")
    [wasted] = events(hall, DoseWasted)
    assert (wasted.cause, wasted.why) == ("needle-stick", "")
    [card] = hall.site.people.exposures()
    assert (card["who"], card["source person"], card["words"]) == (
        HAZEL,
        MARSH,
        "while capping",
    )
    page = text(hall.get(browser, "/needle-stick"))
    assert page.index("Wash with soap and water now") < page.index("Private card")


def test_a_registrar_gives_nothing_and_sees_no_chair(hall, codes):
    registrar = hall.browser("Basil Thatchholt", Role.REGISTRAR)
    assert hall.get(registrar, f"/dose/{MARSH}").status_code == 403
    form = {"person": MARSH, "code": codes[0]}
    assert hall.send(registrar, "give-dose", form).status_code == 403
    assert events(hall, DoseGiven) == []


def test_what_cannot_be_set_aside_stays_refused_with_a_second_person_too(hall, browser, codes):
    hall.clock("16:02")
    second = {"why": "nobody else", "second": BRYONY, "second_pin": PINS[BRYONY]}
    form = {"person": MARSH, "code": codes[0]}
    assert hall.send(browser, "check-dose", form, **second).status_code == 409
