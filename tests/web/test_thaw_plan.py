"""The thaw plan on the screen: low, likely, high, the latest safe moments, two signatures."""

from datetime import timedelta

from tests.cast import BRYONY, HAZEL, PINS, ROWAN, at
from tests.web.hall import text

from thawline.app.acts import act
from thawline.base.instants import Instant, to_ms
from thawline.base.roles import Role
from thawline.ledger.entries import Decision, Kind
from thawline.ledger.events import PersonBooked
from thawline.ledger.plan_events import PlanSigned

SECOND = {"_second": BRYONY, "_second_pin": PINS[BRYONY]}


def book(hall, count: int) -> None:
    """Book so many people for ten o'clock of the next day."""
    slot = Instant(at("10:00") + timedelta(days=1))
    for number in range(count):
        event = PersonBooked(person=f"P-{number:03d}", slot_ms=to_ms(slot), dose_number=1)
        decision = Decision(event)
        told = {"command": "booking load"}
        act(hall.site, hall.doing(), told, lambda _view, d=decision: d, kind=Kind.COMMAND)


def coordinator(hall):
    hall.employ(BRYONY, Role.CLINICAL_LEAD)
    return hall.browser(ROWAN, Role.VACCINE_COORDINATOR)


def test_a_plan_needs_a_no_show_share_and_says_how_to_give_it(hall):
    book(hall, 25)
    page = text(hall.get(coordinator(hall), "/thaw-plan"))
    assert "No plan: no no-show share is given" in page
    assert "Type how many of 100 stay away" in page


def test_the_plan_says_low_likely_high_and_the_latest_safe_moments(hall):
    book(hall, 25)
    page = text(hall.get(coordinator(hall), "/thaw-plan", data={"no_show": "0"}))
    assert "3 vials to thaw for Wed 4 Feb low 3, likely 3, high 3" in page
    assert "07:15 Wed 4 Feb 3 to the fridge" in page  # 2 h 30 min and 15 min before ten
    assert "09:45 Wed 4 Feb 3 to the table" in page
    assert "25 bookings, as of 12:00" in page


def test_both_leads_sign_and_the_page_says_so(hall):
    book(hall, 25)
    browser = coordinator(hall)
    seen = {"day": "2026-02-04", "vials": "3", "booked": "25", "no_show": "0"}
    alone = hall.press(browser, "sign-plan", **seen)
    assert "second person by their own entry" in text(alone)
    hall.press(browser, "sign-plan", **seen, **SECOND)
    assert isinstance(hall.entries()[-1].event, PlanSigned)
    page = text(hall.get(browser, "/thaw-plan", data={"no_show": "0"}))
    assert f"Signed by {ROWAN} and {BRYONY} at 12:00: 3 vials for 25 bookings" in page


def test_bookings_that_changed_after_the_signatures_are_said(hall):
    book(hall, 25)
    browser = coordinator(hall)
    seen = {"day": "2026-02-04", "vials": "3", "booked": "25", "no_show": "0"}
    hall.press(browser, "sign-plan", **seen, **SECOND)
    book(hall, 26)
    page = text(hall.get(browser, "/thaw-plan", data={"no_show": "0"}))
    assert "Act: bookings changed from 25 to 51" in page


def test_a_share_that_is_no_number_is_named(hall):
    book(hall, 25)
    page = text(hall.get(coordinator(hall), "/thaw-plan", data={"no_show": "few"}))
    assert "is not so many of 100" in page


def test_a_preparer_signs_no_plan(hall):
    assert hall.get(hall.browser(HAZEL, Role.PREPARER), "/thaw-plan").status_code == 403
