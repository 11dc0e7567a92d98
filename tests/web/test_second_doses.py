"""Second doses: who is due and late, the days, and a move that is looked at first."""

import pytest
from tests.web.hall import text
from tests.web.people import FEN, MARSH, booked, events, had_first

from thawline.base.roles import Role
from thawline.ledger.second_dose_events import SecondDosesAssigned, SecondDosesMoved

REGISTRAR = "Basil Thatchholt"


@pytest.fixture
def browser(hall):
    """A registrar; two people who had a first dose elsewhere, on 2 January."""
    for person in (MARSH, FEN):
        booked(hall, person, **({} if person == MARSH else {"name": None}))
        had_first(hall, person, "2026-01-02")
    hall.clock("12:00", day=4)
    return hall.browser(REGISTRAR, Role.REGISTRAR)


def look(browser, **typed):
    return text(browser.post("/second-doses", typed, secure=True))


def test_a_look_shows_the_proof_and_records_nothing(hall, browser):
    before = len(hall.entries())
    page = look(browser, places="2026-02-05=1 2026-02-06=5")
    # 28 days after 2 January are 30 January; 5 February is day 34.
    assert "2 people would get a place" in page
    assert "the earliest is on day 34 after the first dose" in page
    assert f"With neither phone nor mail here: 1 , {FEN}" in page
    assert len(hall.entries()) == before


def test_places_are_given_in_one_act_and_the_calendar_shows_them(hall, browser):
    hall.press(browser, "move-places", places="2026-02-05=1 2026-02-06=5")
    assert [len(each.people) for each in events(hall, SecondDosesAssigned)] == [2]
    page = hall.get(browser, "/second-doses").content.decode()
    assert "Thu 5 Feb: 1 places not known; Fri 6 Feb: 1 places not known" in page


def test_a_day_that_cannot_be_kept_is_moved_and_nobody_comes_earlier(hall, browser):
    hall.press(browser, "move-places", places="2026-02-06=5")
    refused = hall.send(
        browser, "move-places", {"left": "2026-02-06", "places": "2026-02-06=5"}
    )
    assert refused.status_code == 422
    hall.press(browser, "move-places", left="2026-02-06", places="2026-02-05=5 2026-02-09=5")
    [moved] = events(hall, SecondDosesMoved)
    assert len(moved.people) == 2
    assert all(new > old for old, new in zip(moved.left_ms, moved.slots_ms, strict=True))
    assert "2 moved here" in hall.get(browser, "/second-doses").content.decode()


def test_whoever_is_late_stands_first_with_the_days(hall, browser):
    # Late after 42 days: day 43 after 2 January 2026 is 14 February.
    hall.clock("09:00", day=14)
    page = text(hall.get(browser, "/second-doses"))
    assert "Late: 2. Due: 0" in page
    assert "43 late" in page


def test_places_that_cannot_be_read_are_said_with_their_words(browser):
    page = browser.post("/second-doses", {"places": "soon"}, secure=True)
    assert page.status_code == 422
    assert "Not places on a day: &#x27;soon&#x27;" in page.content.decode()


def test_a_day_without_a_number_needs_the_sites_own_settings(browser):
    page = browser.post("/second-doses", {"places": "2026-02-05"}, secure=True)
    assert page.status_code == 422
    assert "how many places" in text(page).casefold()


def test_the_calendar_reaches_to_the_days_on_which_doses_fall_due(hall, browser):
    # A first dose on 3 February 2026: 28 days later is Tuesday 3 March (Python's calendar).
    for person in ("P-000008", "P-000009"):
        booked(hall, person, name=None)
        had_first(hall, person, "2026-02-03")
    page = hall.get(browser, "/second-doses").content.decode()
    assert "Tue 3 Mar: 0 places not known, 2 fall due without a place" in page
    assert "week of 2 Mar" in page
    hall.press(browser, "move-places", places="2026-03-03=9")
    page = hall.get(browser, "/second-doses").content.decode()
    assert "Tue 3 Mar: 4 places not known" in page
    assert "fall due without" not in page
