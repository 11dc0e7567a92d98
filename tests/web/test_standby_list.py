"""The standby list: who is called next, what the call came to, who is added."""

import pytest
from tests.web.hall import text
from tests.web.people import FEN, MARSH, MARSH_NAME, booked, events

from thawline.app import standby
from thawline.app.ports import Name
from thawline.base.roles import Role
from thawline.ledger.standby_events import StandbyAdded, StandbyCalled

REGISTRAR = "Basil Thatchholt"


@pytest.fixture
def browser(hall):
    """A registrar; two people on the list, the second with priority 1."""
    for person, name, priority in ((MARSH, MARSH_NAME, None), (FEN, "Fen Heathwick", 1)):
        told = standby.Told(12, priority, Name(name, phone="555-0142"))
        standby.add(hall.site, hall.doing(), person, told)
    return hall.browser(REGISTRAR, Role.REGISTRAR)


def test_whoever_has_priority_is_called_first_with_name_and_number(hall, browser):
    page = text(hall.get(browser, "/standby-list?doses=2"))
    # 12 minutes from 12:00.
    assert f"Call next: Fen Heathwick 555-0142 {FEN} could be here 12:12" in page


def test_nobody_is_called_twice_a_day(hall, browser):
    hall.press(browser, "standby-answer", person=FEN, answer="no-answer")
    assert [each.answer for each in events(hall, StandbyCalled)] == ["no-answer"]
    page = text(hall.get(browser, "/standby-list?doses=2"))
    assert f"Call next: {MARSH_NAME}" in page
    again = hall.send(browser, "standby-answer", {"person": FEN, "answer": "comes"})
    assert again.status_code == 422


def test_whoever_says_yes_is_on_the_way(hall, browser):
    sent = {"person": FEN, "answer": "comes", "_next": "/standby-list"}
    assert f"On the way Fen Heathwick {FEN}" in text(
        hall.press(browser, "standby-answer", **sent)
    )


def test_a_new_person_gets_a_code_and_the_same_one_when_the_press_is_sent_again(hall, browser):
    booked(hall, "P-000007", name=None)
    form = {"name": "Rowan Saddlewick", "phone": "555-0177", "travel_min": 5}
    first = hall.send(browser, "standby-add", form)
    again = hall.send(browser, "standby-add", form, id=first.json()["id"])
    assert (first.status_code, again.json()["again"]) == (200, True)
    assert events(hall, StandbyAdded)[2:] == [StandbyAdded(person="P-000008", travel_min=5)]
    assert hall.site.people.get("P-000008").called == "Rowan Saddlewick"


def test_without_a_name_and_without_a_code_nobody_is_added(hall, browser):
    answer = hall.send(browser, "standby-add", {"travel_min": 5})
    assert (answer.status_code, answer.json()["says"]) == (422, "nobody is named")


def test_a_site_lead_calls_by_code_and_sees_no_name(hall, browser):  # noqa: ARG001  the list
    lead = hall.browser("Laurel Testdyke", Role.SITE_LEAD)
    page = text(hall.get(lead, "/standby-list?doses=2"))
    assert f"Call next: {FEN}" in page
    assert "Fen Heathwick" not in page
