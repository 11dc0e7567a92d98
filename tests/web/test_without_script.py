"""
Every station's own page with script off: it reads, and its first button records the act.

No script runs in Django's test client; forms are sent as HTML alone says (WHATWG HTML, 4.10.22,
"Form submission"), and Django's own check of where a form is from is on.
"""

import pytest
from tests.cast import BRYONY, HAZEL, PINS, ROWAN, SORREL
from tests.web.hall import text
from tests.web.people import (
    MARSH,
    MARSH_NAME,
    booked,
    compared,
    events,
    ready,
    screened,
    syringes,
)
from tests.web.plain_browser import PlainBrowser

from thawline.app import holds, standby, vials
from thawline.app.doses import give
from thawline.app.in_hand import Needle
from thawline.app.ports import Name
from thawline.base.roles import Role
from thawline.ledger.carry_events import CarryTaken
from thawline.ledger.events import DayClosed, DoseChecked, DoseDrawn, DoseGiven, VialPunctured
from thawline.ledger.observation_events import MomentStamped, PersonLeft
from thawline.ledger.person_events import PersonArrived
from thawline.ledger.screening_events import ScreeningAnswered
from thawline.ledger.standby_events import StandbyCalled

TABLE = "table-1"


def at_screen(hall, path: str, name: str, role: Role, station: str = "") -> PlainBrowser:
    """Return the screen of somebody, with script off."""
    return PlainBrowser(hall.browser(name, role, station=station), path)


def test_a_vial_is_opened_and_a_dose_drawn_at_the_draw_table(hall):
    ready(hall)
    screen = at_screen(hall, "/draw-table", HAZEL, Role.PREPARER, TABLE)
    screen.press()
    assert len(events(hall, VialPunctured)) == 1
    screen.press()
    [drawn] = events(hall, DoseDrawn)
    assert f"{drawn.syringes[0]}" in text(screen.page)
    assert "Undo" in text(screen.page)


def test_somebody_is_found_and_taken_in_at_the_front_desk(hall):
    booked(hall)
    screen = at_screen(hall, "/front-desk", "Basil Thatchholt", Role.REGISTRAR, "desk-1")
    screen.press(name=MARSH)
    assert screen.path == f"/arrival/{MARSH}"
    screen.press(name="agrees", born="agrees")
    assert [each.person for each in events(hall, PersonArrived)] == [MARSH]


def test_every_question_is_answered_and_the_answers_recorded_at_screening(hall):
    booked(hall)
    screen = at_screen(hall, "/screening", BRYONY, Role.SCREENER, "screening-1")
    screen.press(name=MARSH)
    for _ in range(40):
        if "questions are answered" in text(screen.page):
            break
        screen.choose("reply", "no")
    screen.press()
    [answered] = events(hall, ScreeningAnswered)
    assert answered.person == MARSH


def test_a_dose_is_checked_and_recorded_at_the_chair(hall):
    booked(hall)
    compared(hall)
    screened(hall)
    code = syringes(hall)[0]
    screen = at_screen(hall, "/chair", HAZEL, Role.VACCINATOR, "chair-1")
    screen.press(name=MARSH)
    screen.press(code=code)
    assert [each.may for each in events(hall, DoseChecked)] == [True]
    screen.press()
    [given] = events(hall, DoseGiven)
    assert (given.person, given.syringe) == (MARSH, code)


def test_somebody_leaves_the_observation_area(hall):
    booked(hall)
    compared(hall)
    screened(hall)
    needle = Needle(MARSH, syringes(hall)[0], arm="left")
    give(hall.site, hall.doing(HAZEL, wall="12:00"), needle)
    hall.clock("12:20")  # 15 minutes after 12:00 are over; CDC, general best practice
    screen = at_screen(hall, "/observation-area", SORREL, Role.OBSERVER, "observation")
    screen.press()
    assert [each.person for each in events(hall, PersonLeft)] == [MARSH]


def test_a_runner_takes_a_carry(hall):
    [code] = ready(hall)
    vials.open_vial(hall.site, hall.doing(HAZEL, "10:02", station=TABLE), code)
    vials.draw(hall.site, hall.doing(HAZEL, "10:03", station="chair-2"), code)
    holds.hold(hall.site, hall.doing(HAZEL, "10:10", why="shaken"), [code])
    screen = at_screen(hall, "/carries", SORREL, Role.RUNNER)
    screen.press()
    assert len(events(hall, CarryTaken)) == 1


def test_an_answer_of_somebody_on_the_standby_list_is_recorded(hall):
    listed = standby.Told(12, None, Name(MARSH_NAME, phone="555-0142"))
    standby.add(hall.site, hall.doing(), MARSH, listed)
    screen = at_screen(hall, "/standby-list?doses=1", SORREL, Role.REGISTRAR)
    screen.press()
    assert [each.person for each in events(hall, StandbyCalled)] == [MARSH]


def test_two_people_sign_the_close_out(hall):
    hall.employ(BRYONY, Role.CLINICAL_LEAD)
    ready(hall)
    screen = at_screen(hall, "/close-out", ROWAN, Role.SITE_LEAD)
    screen.press(_second=BRYONY, _second_pin=PINS[BRYONY])
    assert [each.second for each in events(hall, DayClosed)] == [BRYONY]


def test_a_stamp_of_the_emergency_card_works_on_a_tablet_nobody_came_in_to(hall):
    screen = PlainBrowser(hall.browser(), "/emergency-card")
    screen.press()
    assert len(events(hall, MomentStamped)) == 1


@pytest.mark.parametrize(
    ("path", "role"),
    [
        ("/today", Role.SITE_LEAD),
        ("/vials", Role.VACCINE_COORDINATOR),
        ("/cold-store", Role.VACCINE_COORDINATOR),
        ("/reactions", Role.CLINICAL_LEAD),
        ("/protocol", Role.DATA_STEWARD),
        ("/team", Role.TRAINER),
        ("/set-up", Role.TECHNICAL_ADMIN),
        ("/journal", Role.AUDITOR),
    ],
)
def test_the_other_screens_read_without_script(hall, path, role):
    ready(hall)
    page = at_screen(hall, path, ROWAN, role).page.content.decode()
    assert '<main id="main">' in page
    assert "noscript" not in page
