"""The front desk: who is meant, how they agree, when a second dose may come, who is sent on."""

from tests.cast import HAZEL, ROWAN
from tests.web.hall import text
from tests.web.people import (
    FEN,
    HEATH,
    MARSH,
    MARSH_BORN,
    MARSH_NAME,
    booked,
    events,
    had_first,
)

from thawline.app.ports import Name
from thawline.base.roles import Role
from thawline.ledger.events import PersonBooked
from thawline.ledger.person_events import (
    ConsentAnswered,
    PersonAmended,
    PersonArrived,
    PersonSent,
)

REGISTRAR = "Basil Thatchholt"


def desk(hall):
    return hall.browser(REGISTRAR, Role.REGISTRAR, station="desk-1")


def find(browser, **typed):
    return browser.post("/front-desk", typed, secure=True, follow=True)


def test_a_scan_opens_the_person_with_name_birth_date_and_the_age_to_ask(hall):
    booked(hall)
    page = find(desk(hall), name=MARSH.lower())
    assert page.redirect_chain[0] == (f"/arrival/{MARSH}", 302)
    # 3 February 2026 is before the birthday on 6 May: 41, not 42.
    assert f"{MARSH_NAME} born 1984-MAY-06 41 years old?" in text(page)
    assert "Dose 1 Place today at 12:00" in text(page)
    assert "Language: Spanish" in text(page)


def test_one_tap_records_that_two_identifiers_agree(hall):
    booked(hall)
    browser = desk(hall)
    assert "Name and birth date agree: arrived" in text(hall.get(browser, f"/arrival/{MARSH}"))
    hall.press(browser, "arrived", person=MARSH, name="agrees", born="agrees")
    [arrived] = events(hall, PersonArrived)
    assert (arrived.agreed, arrived.differed) == (("name", "born"), ())


def test_a_birth_date_that_differs_is_a_stop_and_is_recorded_all_the_same(hall):
    booked(hall)
    sent = {"person": MARSH, "name": "agrees", "born": "differs"}
    after = hall.press(desk(hall), "arrived", **sent, _next=f"/arrival/{MARSH}")
    assert "Stop: What was said differs from what is kept" in text(after)
    assert [each.differed for each in events(hall, PersonArrived)] == [("born",)]


def test_what_is_not_kept_cannot_agree(hall):
    booked(hall, name=Name(MARSH_NAME))
    browser = desk(hall)
    answer = hall.send(browser, "arrived", {"person": MARSH, "born": "agrees"})
    assert (answer.status_code, answer.json()["says"]) == (
        422,
        f"no birth date is kept of {MARSH}",
    )
    assert events(hall, PersonArrived) == []


def test_two_of_one_name_stand_side_by_side_and_nothing_is_recorded(hall):
    booked(hall)
    booked(hall, FEN, name=Name(MARSH_NAME, "1984-06-05", "555-0199"))
    before = len(hall.entries())
    page = text(find(desk(hall), name="anvilgarth, marigold", born=MARSH_BORN))
    assert "Same name: 2 people" in page
    assert page.index(MARSH) < page.index(FEN)
    assert "1984-JUN-05 differs" in page
    assert len(hall.entries()) == before


def test_a_name_that_is_typed_never_stands_in_an_address(hall):
    booked(hall)
    page = find(desk(hall), name=MARSH_NAME)
    assert page.redirect_chain == []
    assert page.request["QUERY_STRING"] == ""
    assert "data-still" in page.content.decode()


def test_a_second_dose_too_early_gets_an_explanation_with_the_first_day_and_no_alarm(hall):
    # 28 days after 9 January 2026 is 6 February; today is 3 February.
    booked(hall, dose_number=2)
    had_first(hall, MARSH, "2026-01-09")
    page = hall.get(desk(hall), f"/arrival/{MARSH}")
    assert "Second dose is due on or after Fri 6 Feb. Today is 3 days before." in text(page)
    assert "Name and birth date agree: arrived" not in text(page)
    assert "Stop: " not in text(page)
    assert 'value="2026-02-06"' in page.content.decode()


def test_a_place_before_that_day_is_refused_and_one_on_it_is_booked(hall):
    booked(hall)
    had_first(hall, MARSH, "2026-01-09")
    browser = desk(hall)
    place = {"person": MARSH, "time": "09:00"}
    assert hall.send(browser, "book-place", {**place, "day": "2026-02-05"}).status_code == 409
    assert hall.send(browser, "book-place", {**place, "day": "2026-02-06"}).status_code == 200
    assert [each.dose_number for each in events(hall, PersonBooked)] == [1, 2]


def test_whoever_is_too_young_gets_an_explanation_with_its_item(hall):
    booked(hall, name=Name(MARSH_NAME, "2015-02-04"))
    page = text(hall.get(desk(hall), f"/arrival/{MARSH}"))
    assert "10 years old on 2026-02-03" in page
    assert "agree: arrived" not in page


def test_consent_is_kept_with_whose_it_is_and_which_information_was_given(hall):
    booked(hall)
    said = {"person": MARSH, "answer": "yes", "whose": "guardian", "edition": "2026-01-15"}
    hall.press(desk(hall), "consent", **said, interpreter="true")
    [consent] = events(hall, ConsentAnswered)
    assert (consent.whose, consent.edition, consent.interpreter) == (
        "guardian",
        "2026-01-15",
        True,
    )


def test_a_name_put_right_is_kept_apart_and_the_person_is_compared_again(hall):
    booked(hall)
    browser = desk(hall)
    hall.press(browser, "arrived", person=MARSH, name="agrees", born="differs")
    hall.press(browser, "put-right", person=MARSH, born="1984-06-05")
    assert events(hall, PersonAmended) == [PersonAmended(person=MARSH, fields=("born",))]
    page = text(hall.get(browser, f"/arrival/{MARSH}"))
    assert "born 1984-JUN-05" in page
    assert "Compared today" not in page


def test_sent_to_the_clinical_lead_with_the_next_slip_number(hall):
    booked(hall)
    booked(hall, FEN, name=None)
    browser = desk(hall)
    hall.press(browser, "send-on", person=MARSH, about="identity")
    after = hall.press(browser, "send-on", person=FEN, about="age", _next=f"/arrival/{FEN}")
    assert [each.slip for each in events(hall, PersonSent)] == [1, 2]
    assert "Sent to the clinical lead: slip 2" in text(after)
    refused = hall.send(browser, "send-on", {"person": FEN, "about": "asthma"})
    assert refused.status_code == 422


def test_a_walk_up_is_looked_for_before_they_are_taken_in(hall):
    booked(hall)
    browser = desk(hall)
    typed = {"name": MARSH_NAME, "born": "1990-01-02"}
    page = browser.post("/walk-up", typed, secure=True)
    assert "Somebody of that name is on the list" in text(page)
    refused = hall.send(browser, "walk-up", {"name": MARSH_NAME})
    assert refused.status_code == 422
    taken = hall.send(browser, "walk-up", {**typed, "another": True, "language": "es"})
    assert taken.status_code == 200
    *_, arrived = events(hall, PersonArrived)
    assert arrived.walk_up
    assert arrived.person != MARSH


def test_names_are_for_those_who_may_see_them(hall):
    booked(hall)
    lead = hall.get(hall.browser(ROWAN, Role.SITE_LEAD), f"/arrival/{MARSH}")
    assert MARSH in text(lead)
    assert MARSH_NAME not in text(lead)
    preparer = hall.browser(HAZEL, Role.PREPARER)
    assert hall.get(preparer, f"/arrival/{MARSH}").status_code == 403


def test_a_code_that_nobody_has_is_said_with_what_to_do(hall):
    page = hall.get(desk(hall), f"/arrival/{HEATH}")
    assert page.status_code == 404
    assert f"Nobody has the code {HEATH} here" in text(page)
