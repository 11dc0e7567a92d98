"""Log-ins, sign-offs, the first start of a site, and breaking the glass."""

import re
from datetime import date
from uuid import uuid4

import pytest
from tests.cast import BRYONY, HAZEL, PINS, SORREL
from tests.web.hall import PASSPHRASE, text

from thawline.base.roles import Role
from thawline.ledger.events import Noted
from thawline.web.staff import codes
from thawline.web.staff.models import SignOff, Staff

CODE = re.compile(r"[2-9A-HJ-NP-Z]{4}-[2-9A-HJ-NP-Z]{4}")
GOOD = "seven pale otters swim"


@pytest.fixture
def lead(hall):
    """A clinical lead at the laptop, with a PIN."""
    return hall.browser(BRYONY, Role.CLINICAL_LEAD)


def _noted(hall):
    return [entry.event.says for entry in hall.entries() if isinstance(entry.event, Noted)]


def _press(hall, lead, act, **fields):
    return hall.press(lead, act, _pin=PINS[BRYONY], **fields)


def test_a_new_person_chooses_their_own_pin_and_passphrase_by_a_code(hall, lead):
    [code] = set(CODE.findall(text(_press(hall, lead, "employ", name="New Person"))))
    told = {"code": code, "name": "new person", "pin": "918273", "passphrase": GOOD}
    begun = hall.browser().post("/begin", told, secure=True)
    assert begun.status_code == 302
    came = hall.come_in(hall.browser(), "New Person", passphrase=GOOD)
    assert came.status_code == 302
    assert hall.site.pins.fits("New Person", "918273")
    assert _noted(hall) == ["log-in made for New Person"]


def test_a_code_is_of_no_use_to_anybody_else(hall, lead):
    [code] = set(CODE.findall(text(_press(hall, lead, "employ", name="New Person"))))
    told = {"code": code, "name": "Somebody Else", "pin": "918273", "passphrase": GOOD}
    hall.employ("Somebody Else")
    refused = hall.browser().post("/begin", told, secure=True)
    assert refused.status_code == 422
    assert not hall.site.pins.fits("Somebody Else", "918273")


@pytest.mark.parametrize(
    ("field", "value", "says"),
    [
        ("passphrase", "short one", "15 signs"),
        ("passphrase", "harrowmint harrowmint", "easy to guess"),
        ("pin", "12345", "six digits"),
        ("pin", "111111", "six digits"),
        ("name", "", "Enter your name"),
        ("code", "ZZZZ-ZZZZ", "opens nothing"),
    ],
)
def test_what_cannot_be_used_is_said_and_the_code_stays_good(hall, lead, field, value, says):
    [code] = set(CODE.findall(text(_press(hall, lead, "employ", name="New Person"))))
    good = {"code": code, "name": "New Person", "pin": "918273", "passphrase": GOOD}
    wrong = hall.browser().post("/begin", {**good, field: value}, secure=True)
    assert says in text(wrong)
    assert hall.browser().post("/begin", good, secure=True).status_code == 302


def test_nobody_is_made_twice(hall, lead):
    _press(hall, lead, "employ", name="New Person", badge="B7")
    again = _press(hall, lead, "employ", name="NEW person")
    badge = _press(hall, lead, "employ", name="Another", badge="B7")
    assert "taken" in text(again)
    assert "taken" in text(badge)
    assert Staff.objects.filter(name__iexact="new person").count() == 1


def test_an_act_that_is_sent_again_changes_nothing_more_and_gives_the_same_receipt(hall, lead):
    form, act_id = {"name": "New Person"}, str(uuid4())
    first = hall.send(lead, "employ", form, id=act_id, pin=PINS[BRYONY]).json()
    again = hall.send(lead, "employ", form, id=act_id, pin=PINS[BRYONY]).json()
    assert first["hash"] == again["hash"]
    assert first["says"] == again["says"]
    assert Staff.objects.filter(name="New Person").count() == 1


def test_a_role_counts_from_the_sign_off_to_its_last_day(hall, lead):
    hall.employ(HAZEL)
    browser = hall.browser(HAZEL)
    assert hall.get(browser, "/draw-table").status_code == 403
    _press(hall, lead, "sign-off", name=HAZEL, role="preparer", until="2026-02-04")
    assert hall.get(browser, "/draw-table").status_code == 200
    hall.clock("23:59", day=4)
    assert hall.get(browser, "/draw-table").status_code == 200
    hall.clock("00:00", day=5)
    assert hall.get(browser, "/draw-table").status_code == 403
    assert _noted(hall) == [f"{HAZEL} signed off as preparer until 2026-02-04"]


def test_a_sign_off_that_is_ended_counts_no_more(hall, lead):
    browser = hall.browser(HAZEL, Role.PREPARER)
    _press(hall, lead, "end-sign-off", name=HAZEL, role="preparer")
    assert hall.get(browser, "/draw-table").status_code == 403


def test_nobody_signs_themselves_off_in_whatever_spelling(hall, lead):
    for name in (BRYONY, BRYONY.upper(), f"  {BRYONY} "):
        _press(hall, lead, "sign-off", name=name, role="trainer", until="2026-02-04")
    assert not SignOff.objects.filter(role="trainer").exists()


@pytest.mark.parametrize("until", ["2026-02-02", "2027-02-05", "soon", ""])
def test_a_sign_off_ends_on_a_day_from_today_within_a_year(hall, lead, until):
    hall.employ(HAZEL)
    _press(hall, lead, "sign-off", name=HAZEL, role="preparer", until=until)
    assert not SignOff.objects.filter(staff__name=HAZEL).exists()


def test_a_trainer_signs_others_off_and_a_preparer_nobody(hall):
    hall.employ(HAZEL)
    form = {"name": HAZEL, "role": "runner", "until": "2026-03-01"}
    preparer = hall.browser(SORREL, Role.PREPARER)
    assert hall.send(preparer, "sign-off", form, pin=PINS[SORREL]).status_code == 403
    hall.employ(SORREL, Role.TRAINER)
    assert hall.send(preparer, "sign-off", form, pin=PINS[SORREL]).status_code == 200


def test_team_shows_for_what_everybody_is_signed_off_until_when_and_by_whom(hall, lead):
    hall.employ(HAZEL, Role.PREPARER, until=date(2026, 2, 1))
    told = text(hall.get(lead, "/team"))
    assert f"preparer {HAZEL} over since 2026-02-01 the trainer" in told
    assert f"clinical lead {BRYONY} 2027-01-01 the trainer" in told


def test_the_first_log_in_of_a_site_is_made_by_the_code_that_serve_prints(hall):
    code = codes.hand_out(uuid4(), codes.Opened(codes.FIRST, "", "", "the first start"))
    told = {"code": code, "name": "First Admin", "pin": "918273", "passphrase": GOOD}
    browser = hall.browser()
    browser.post("/begin", told, secure=True)
    assert hall.get(browser, "/set-up").status_code == 200
    assert hall.get(browser, "/draw-table").status_code == 403


def test_there_is_no_first_log_in_where_somebody_has_one(hall):
    hall.employ(HAZEL)
    code = codes.hand_out(uuid4(), codes.Opened(codes.FIRST, "", "", "the first start"))
    told = {"code": code, "name": "First Admin", "pin": "918273", "passphrase": GOOD}
    assert hall.browser().post("/begin", told, secure=True).status_code == 422
    assert not Staff.objects.filter(name="First Admin").exists()


def test_the_first_admin_signs_the_first_clinical_lead_off_and_no_second(hall):
    hall.give_pin("First Admin", "918273")
    admin = hall.browser("First Admin", Role.TECHNICAL_ADMIN)
    hall.employ(BRYONY)
    hall.employ(HAZEL)
    form = {"role": "clinical lead", "until": "2026-03-01"}
    first = hall.send(admin, "sign-off-first", {**form, "name": BRYONY}, pin="918273")
    second = hall.send(admin, "sign-off-first", {**form, "name": HAZEL}, pin="918273")
    assert (first.status_code, second.status_code) == (200, 409)


def test_the_first_admin_makes_no_preparer_and_not_themselves_a_lead(hall):
    hall.give_pin("First Admin", "918273")
    admin = hall.browser("First Admin", Role.TECHNICAL_ADMIN)
    hall.employ(HAZEL)
    until = "2026-03-01"
    other = {"name": HAZEL, "role": "preparer", "until": until}
    own = {"name": "First Admin", "role": "clinical lead", "until": until}
    for form in (other, own):
        assert hall.send(admin, "sign-off-first", form, pin="918273").status_code >= 400
    assert SignOff.objects.exclude(role="technical admin").count() == 0


def test_sessions_that_an_admin_ends_are_out_on_every_screen(hall, lead):
    hall.employ(SORREL, Role.PREPARER)
    tablet, desk = hall.tablet(), hall.browser(SORREL)
    hall.come_in(tablet, SORREL, pin=PINS[SORREL])
    _press(hall, lead, "end-sessions", name=SORREL)
    assert hall.get(tablet, "/draw-table").status_code == 302
    assert hall.get(desk, "/draw-table").status_code == 302
    assert hall.come_in(tablet, f"B-{SORREL}").status_code == 403
    assert hall.come_in(tablet, SORREL, pin=PINS[SORREL]).status_code == 302


def test_a_disabled_person_is_let_in_again_when_enabled(hall, lead):
    hall.employ(SORREL, Role.PREPARER)
    _press(hall, lead, "disable", name=SORREL)
    out = hall.come_in(hall.browser(), SORREL, passphrase=PASSPHRASE)
    _press(hall, lead, "enable", name=SORREL)
    back = hall.come_in(hall.browser(), SORREL, passphrase=PASSPHRASE)
    assert (out.status_code, back.status_code) == (403, 302)


def test_whoever_typed_too_many_wrong_pins_is_let_try_again(hall, lead):
    hall.employ(SORREL, Role.PREPARER)
    tablet = hall.tablet()
    for _ in range(6):
        hall.come_in(tablet, SORREL, pin="000001")
    _press(hall, lead, "let-try-again", name=SORREL)
    assert hall.come_in(tablet, SORREL, pin=PINS[SORREL]).status_code == 302


def test_a_broken_glass_is_on_every_screen_and_in_the_journal_for_an_hour(
    hall, lead, monkeypatch
):
    other = hall.browser(HAZEL, Role.PREPARER)
    _press(hall, lead, "break-glass", reason="fire in the hall")
    mark = f"The glass is broken, for 60 min: {BRYONY}. fire in the hall"
    assert mark in text(hall.get(other, "/draw-table"))
    assert _noted(hall) == ["glass broken for 60 minutes: fire in the hall"]
    hall.wall(monkeypatch, minutes=60)
    other = hall.browser(HAZEL)
    assert "The glass is broken" not in text(hall.get(other, "/draw-table"))


def test_a_glass_needs_a_reason_a_pin_and_a_clinical_lead(hall, lead):
    assert hall.send(lead, "break-glass", {}, pin=PINS[BRYONY]).status_code == 422
    assert hall.send(lead, "break-glass", {"reason": "fire"}).status_code == 403
    other = hall.browser(SORREL, Role.SITE_LEAD)
    form = {"reason": "fire"}
    assert hall.send(other, "break-glass", form, pin=PINS[SORREL]).status_code == 403
    assert _noted(hall) == []


def test_a_glass_that_is_ended_opens_nothing_more(hall, lead):
    _press(hall, lead, "break-glass", reason="fire in the hall")
    _press(hall, lead, "end-glass")
    assert "The glass is broken" not in text(hall.get(lead, "/team"))
