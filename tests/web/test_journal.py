"""The journal: whose entries one reads, what an entry counts as, undo and correct."""

import pytest
from tests.cast import HAZEL, PINS, ROWAN
from tests.web.hall import text
from tests.web.people import MARSH, booked, compared, events, screened, syringes

from thawline.app.doses import give
from thawline.app.in_hand import Needle
from thawline.base.roles import Role
from thawline.ledger.events import Corrected, DoseGiven


@pytest.fixture
def given(hall):
    """The number of the entry of a dose that Hazel gave at 12:00, in the left arm."""
    booked(hall)
    compared(hall)
    screened(hall, MARSH, "Q6=yes")
    code = syringes(hall)[0]
    give(hall.site, hall.doing(HAZEL), Needle(MARSH, code, arm="left"))
    return next(each.seq for each in hall.entries() if isinstance(each.event, DoseGiven))


@pytest.fixture
def lead(hall, given):  # noqa: ARG001  the dose first
    """A site lead, who reads everything."""
    return hall.browser(ROWAN, Role.SITE_LEAD)


def test_at_a_station_only_ones_own_entries_are_read(hall, given):
    hazel = hall.browser(HAZEL, Role.VACCINATOR)
    page = text(hall.get(hazel, "/journal"))
    assert "Dose given" in page
    assert "Screening answered" not in page
    assert hall.get(hazel, f"/entry/{given}").status_code == 200
    assert hall.get(hazel, "/entry/1").status_code == 403


def test_entries_are_found_by_vial_and_by_person(hall, lead, given):
    assert "Dose given" in text(hall.get(lead, f"/journal?person={MARSH.lower()}"))
    vial = events(hall, DoseGiven)[0].vial
    page = text(hall.get(lead, f"/journal?vial={vial}"))
    assert f"{given} 12:00 Dose given" in page
    assert "Person booked" not in page


def test_what_was_said_of_health_is_not_for_every_reader(hall, lead):
    seq = next(e.seq for e in hall.entries() if type(e.event).__name__ == "ScreeningAnswered")
    assert "Answers not yours to see" in text(hall.get(lead, f"/entry/{seq}"))
    assert "Q6" not in text(hall.get(lead, f"/entry/{seq}")).partition("As written")[2]


def test_a_correction_needs_a_reason_and_the_pin_and_both_lines_stay(hall, lead, given):
    form = {"entry": str(given), "field": "arm", "value": "right"}
    assert hall.send(lead, "correct-entry", form, why="asked again").status_code == 403
    mine = {"pin": PINS[ROWAN]}
    assert hall.send(lead, "correct-entry", form, **mine).status_code == 422
    assert hall.send(lead, "correct-entry", form, **mine, why="asked again").status_code == 200
    page = text(hall.get(lead, f"/entry/{given}"))
    assert "Arm left" in page.partition("It counts as")[0]
    assert "Arm right" in page.partition("It counts as")[2]
    assert [each.why for each in events(hall, Corrected)] == ["asked again"]


def test_when_it_happened_is_corrected_by_the_wall_clock_of_that_day(hall, lead, given):
    form = {"entry": str(given), "field": "at", "value": "11:48"}
    sent = hall.send(lead, "correct-entry", form, pin=PINS[ROWAN], why="typed late")
    assert sent.status_code == 200
    form["value"] = "soon"
    wrong = hall.send(lead, "correct-entry", form, pin=PINS[ROWAN], why="typed late")
    assert (wrong.status_code, wrong.json()["says"]) == (422, "not a time: 'soon'")


def test_ones_own_entry_can_be_undone_for_ten_minutes(hall, given):
    hazel = hall.browser(HAZEL, Role.VACCINATOR)
    assert f"Undo entry {given}" in text(hall.get(hazel, f"/entry/{given}"))
    hall.clock("12:11")
    assert f"Undo entry {given}" not in text(hall.get(hazel, f"/entry/{given}"))
    assert hall.send(hazel, "undo", {"entry": str(given)}).status_code == 403
    hall.clock("12:09")
    hall.press(hazel, "undo", entry=str(given))
    page = hall.get(hazel, f"/entry/{given}")
    assert "It counts as not having happened" in text(page)
    assert "<s>Dose given</s>" in page.content.decode()
