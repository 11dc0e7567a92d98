"""Observation area and emergency card: who may leave, who is down, each press a time."""

import re

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
    screened,
    syringes,
)

from thawline.app.doses import give
from thawline.app.in_hand import Needle
from thawline.base.roles import Role
from thawline.ledger.observation_events import (
    CardNamed,
    KitChecked,
    MomentStamped,
    PersonLeft,
    VaccinatingResumed,
)
from thawline.report.seen import Doses
from thawline.web.stations import faints
from thawline.web.stations.observation import Seat, _still_here

OBSERVER = "Fern Chalkbeck"


@pytest.fixture
def dosed(hall):
    """Somebody who had a dose at 12:00, screened to stay 15 minutes; then it is 12:10."""
    booked(hall)
    compared(hall)
    screened(hall)
    code = syringes(hall)[0]
    give(hall.site, hall.doing(HAZEL, wall="12:00"), Needle(MARSH, code, arm="left"))
    hall.clock("12:10")
    return code


@pytest.fixture
def browser(hall):
    """An observer."""
    return hall.browser(OBSERVER, Role.OBSERVER, station="observation")


def card_of(page) -> str:
    return re.search(r'name="card" value="([A-Z0-9]+)"', page.content.decode())[1]


def test_of_many_who_may_leave_the_newest_are_shown_and_whoever_is_down():
    seats = [Seat(leave=None, name=None, down=n == 3) for n in range(30)]
    shown = _still_here(seats)
    assert shown[0] is seats[3]
    assert shown[1:] == seats[-20:]
    assert _still_here(seats[:5]) == seats[:5]


@pytest.mark.usefixtures("dosed")
def test_from_the_minute_on_somebody_may_leave_and_not_before(hall, browser):
    # 15 minutes after 12:00 (CDC, general best practice; item O1 of the example protocol).
    hall.clock("12:14")
    early = text(hall.get(browser, "/observation-area"))
    assert f"Stay: 1 {MARSH_NAME} {MARSH} may leave 12:15 O1 Left early" in early
    hall.clock("12:15")
    assert f"May leave: 1 {MARSH_NAME} {MARSH} may leave 12:15 O1 Left" in text(
        hall.get(browser, "/observation-area")
    )


@pytest.mark.usefixtures("dosed")
def test_one_tap_records_who_left_and_early_goes_to_the_call_list(hall, browser):
    after = text(hall.press(browser, "left", person=MARSH, _next="/observation-area"))
    assert events(hall, PersonLeft)[0].early
    assert f"To call: left early today {MARSH} left 12:10" in after
    assert "Stay: 0" in after


@pytest.mark.usefixtures("dosed")
def test_whoever_is_down_is_not_sent_away_by_a_clock(hall, browser):
    hall.press(browser, "stamp", what="down", person=MARSH)
    hall.clock("12:40")
    page = text(hall.get(browser, "/observation-area"))
    assert f"Stop: {MARSH} is down" in page
    assert "May leave: 0" in page
    hall.press(browser, "stamp", what="up", person=MARSH)
    assert "May leave: 1" in text(hall.get(browser, "/observation-area"))


def test_the_emergency_card_opens_and_stamps_without_anybody_logged_in(hall):
    locked = hall.browser()
    door = hall.get(locked, "/door")
    assert 'href="/emergency-card"' in door.content.decode()
    page = hall.get(locked, "/emergency-card")
    assert page.status_code == 200
    # 0.3 mg and 5 to 15 minutes: CDC, interim considerations for anaphylaxis, 2021.
    assert "Adult dose: 0.3 mg = 0.3 mL of 1 mg/mL." in text(page)
    card = card_of(page)
    sent = {"what": "given", "card": card, "_next": f"/emergency/{card}"}
    after = text(hall.press(locked, "stamp", **sent))
    assert "next dose from 12:05 to 12:15" in after
    [stamp] = hall.entries()[-1:]
    assert (stamp.by, stamp.event.what, stamp.event.card) == ("not named", "given", card)


def test_every_press_is_its_own_stamp(hall):
    locked = hall.browser()
    for _ in range(2):
        hall.press(locked, "stamp", what="given", card="H4K7")
    hall.press(locked, "stamp", what="called", card="H4K7")
    page = text(hall.get(locked, "/emergency/H4K7"))
    assert "2 doses given" in page
    assert "Emergency number called" in page
    assert len(events(hall, MomentStamped)) == 3


def test_nothing_but_a_code_gets_into_the_record_by_a_stamp(hall):
    locked = hall.browser()
    for sent in ({"card": "Marigold A."}, {"person": "<b>x</b>"}, {"what": "slept"}):
        form = {"what": "given", "card": "H4K7", **sent}
        assert hall.send(locked, "stamp", form).status_code == 422
    assert events(hall, MomentStamped) == []


def test_the_name_of_a_card_is_added_later_by_staff(hall, browser):
    booked(hall)
    locked = hall.browser()
    hall.press(locked, "stamp", what="given", card="H4K7")
    assert hall.send(locked, "name-card", {"card": "H4K7", "person": MARSH}).status_code == 401
    hall.press(browser, "name-card", card="H4K7", person=MARSH.lower())
    assert events(hall, CardNamed) == [CardNamed(card="H4K7", person=MARSH)]
    assert f"Person: {MARSH}" in text(hall.get(browser, "/emergency/H4K7"))


def test_every_screen_has_the_way_to_the_emergency_card(hall, browser):
    booked(hall, FEN)
    screener = hall.browser("Tansy Bellowsthwaite", Role.SCREENER)
    for who, path in ((browser, "/observation-area"), (screener, f"/questions/{FEN}")):
        assert 'href="/emergency-card"' in hall.get(who, path).content.decode()


def test_a_kit_with_too_few_doses_pauses_until_the_clinical_lead_says(hall, browser):
    # Fewer than 3 doses of epinephrine: CDC, interim considerations, 2021; item E5.
    hall.site.pins.put(BRYONY, PINS[BRYONY], Role.CLINICAL_LEAD)
    kit = {"until": "2026-08-31", "able": HAZEL, "_next": "/observation-area"}
    after = text(hall.press(browser, "look-at-kit", count="2", **kit))
    assert "Vaccinating is paused since 12:00" in after
    hall.press(browser, "look-at-kit", count="3", **kit)
    assert "paused since 12:00" in text(hall.get(browser, "/observation-area"))
    mine = {"why": "kit-complete", "pin": PINS[BRYONY]}
    assert hall.send(browser, "resume", {}, **mine).status_code == 403
    lead = hall.browser(BRYONY, Role.CLINICAL_LEAD)
    assert hall.send(lead, "resume", {}, **mine).status_code == 200
    assert len(events(hall, VaccinatingResumed)) == 1
    assert [each.doses for each in events(hall, KitChecked)] == [
        ("2@2026-08-31",),
        ("3@2026-08-31",),
    ]


def test_a_press_goes_back_to_the_page_it_was_made_on(hall, browser):
    page = hall.get(browser, "/emergency/H4K7").content.decode()
    assert '<input type="hidden" name="_next" value="/emergency/H4K7">' in page
    assert hall.get(browser, "/emergency/not a card").status_code == 404


# Expected: doses x cases / doses of the rate as the register states it (MMWR 2021, 70(18):
# 29 of 3,901 at one site, 653 of 7,980,000 reported); the product done by hand.
@pytest.mark.usefixtures("dosed")
def test_faints_stand_beside_what_was_to_be_expected_at_each_stated_rate(hall, browser):
    hall.press(browser, "stamp", what="down", card="AC34", person=MARSH)
    page = text(hall.get(browser, "/observation-area"))
    assert "Fainted: 1 after 1 dose" in page
    assert "less than 0.1 expected, from 29 cases of 3,901 doses elsewhere" in page
    assert "653 cases of 7,980,000 doses elsewhere. Counted there: fainting reported" in page


def test_without_a_dose_nothing_is_expected(hall, browser):
    page = text(hall.get(browser, "/observation-area"))
    assert "Fainted: 0 after 0 doses" in page
    assert "nothing can be expected" in page


def test_a_thousand_doses_lead_to_expect_seven_and_a_half_at_the_halls_rate(monkeypatch):
    found = [Doses("harrowmint", "ZZ-1041", 1, 1000, 9)]
    monkeypatch.setattr(faints, "doses_and_seen", lambda _sites, _what: found)
    told = faints.faints_of(None)
    assert (told.doses, told.seen) == (1000, 9)
    # 1000 * 29 / 3901 = 7.434; 1000 * 653 / 7980000 = 0.0818, by hand
    assert [each.count for each in told.expected] == ["7.4", "0.1"]
    assert [each.says for each in told.expected] == [
        "too few doses to tell apart from chance",
        "more than chance explains",
    ]
