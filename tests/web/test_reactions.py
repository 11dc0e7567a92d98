"""Reactions and errors on a page, what is counted beside what, and whom to call."""

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
from thawline.app.observing import went
from thawline.base.roles import Role
from thawline.ledger.person_events import FollowUpCalled
from thawline.ledger.reaction_events import ErrorNoted, ReactionNoted, ReportTold

REGISTRAR = "Basil Thatchholt"


@pytest.fixture
def dosed(hall):
    """Somebody who had a dose at 12:00; then it is 12:10."""
    booked(hall)
    compared(hall)
    screened(hall)
    code = syringes(hall)[0]
    give(hall.site, hall.doing(HAZEL, wall="12:00"), Needle(MARSH, code, arm="left"))
    hall.clock("12:10")


@pytest.fixture
def browser(hall, dosed):  # noqa: ARG001  the dose first
    """An observer."""
    return hall.browser("Fern Chalkbeck", Role.OBSERVER)


def test_serious_is_said_by_the_criteria_and_a_report_is_due(hall, browser):
    # 21 CFR 312.32(a): admission to a hospital makes a reaction serious.
    sent = {"person": MARSH.lower(), "what": "fever", "began": "12:05", "hospital": "true"}
    after = text(hall.press(browser, "note-reaction", **sent, _next="/reactions"))
    [noted] = events(hall, ReactionNoted)
    assert (noted.person, noted.serious) == (MARSH, ("hospital",))
    assert "Reports due: 1" in after
    assert "nobody yet : ask the health unit" in after


def test_what_is_not_serious_and_not_listed_as_reported_is_not_due(hall, browser):
    after = hall.press(browser, "note-reaction", person=MARSH, what="pain", _next="/reactions")
    assert "Reports due: 0" in text(after)


def test_only_the_clinical_lead_says_that_it_was_reported(hall, browser):
    hall.site.pins.put(BRYONY, PINS[BRYONY], Role.CLINICAL_LEAD)
    hall.press(browser, "note-reaction", person=MARSH, what="anaphylaxis")
    [noted] = events(hall, ReactionNoted)
    form = {"note": noted.note, "to": "the health unit"}
    assert hall.send(browser, "told-outside", form, pin=PINS[BRYONY]).status_code == 403
    lead = hall.browser(BRYONY, Role.CLINICAL_LEAD)
    assert hall.send(lead, "told-outside", form).status_code == 403
    assert hall.send(lead, "told-outside", form, pin=PINS[BRYONY]).status_code == 200
    assert [each.to for each in events(hall, ReportTold)] == ["the health unit"]


def test_an_error_shows_what_the_rules_say_before_it_is_noted(hall, browser):
    sent = {"what": "wrong-site", "given_on": "2026-02-03"}
    page = browser.post(f"/dose-error/{MARSH}", sent, secure=True)
    assert "Note this error" in text(page)
    assert events(hall, ErrorNoted) == []
    hall.press(browser, "note-error", person=MARSH, **sent)
    assert [(each.person, each.what) for each in events(hall, ErrorNoted)] == [
        (MARSH, "wrong-site")
    ]


def test_a_count_names_the_rate_and_that_a_case_is_not_a_cause(hall, browser):
    # 29 of 3,901: CDC, MMWR 2021;70(18):685-688, table 1, site A.
    page = text(hall.get(browser, "/reactions?rate=faint:hall&by=lot"))
    assert "Expected: doses so far times 29/3,901" in page
    assert "too few doses to tell" in page
    assert "After a dose is not because of it" in page


def test_whoever_left_early_is_on_the_sheet_until_somebody_reached_them(hall, browser):
    went(hall.site, hall.doing(HAZEL), MARSH)
    desk = hall.browser(REGISTRAR, Role.REGISTRAR)
    page = text(hall.get(desk, "/call-sheet"))
    assert f"Left early , 12:10 {MARSH_NAME} 555-0142" in page
    call = {"person": MARSH, "about": "left-early", "day": "2026-02-03"}
    hall.press(desk, "called", **call, result="no-answer")
    assert "no answer, Basil Thatchholt" in text(hall.get(desk, "/call-sheet"))
    hall.press(desk, "called", **call, result="well")
    assert "To call about Tue 3 Feb: 0" in text(hall.get(desk, "/call-sheet"))
    assert len(events(hall, FollowUpCalled)) == 2
    assert hall.get(browser, "/call-sheet").status_code == 403


def test_a_no_show_is_rebooked_on_the_call(hall, browser):  # noqa: ARG001  the day
    booked(hall, FEN, "08:00")
    desk = hall.browser(REGISTRAR, Role.REGISTRAR)
    assert "Did not come" in text(hall.get(desk, "/call-sheet"))
    call = {"person": FEN, "about": "no-show", "day": "2026-02-03", "result": "rebooked"}
    assert hall.send(desk, "called", call).status_code == 422
    place = {"place_day": "2026-02-10", "place_time": "10:00"}
    assert hall.send(desk, "called", {**call, **place}).status_code == 200
