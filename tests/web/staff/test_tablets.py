"""Tablets: enrolled by a code that is good once, heard, placed and revoked."""

import re

import pytest
from tests.cast import BRYONY, PINS, SORREL
from tests.web.hall import text

from thawline.base.roles import Role
from thawline.ledger.events import Noted
from thawline.web.staff import kept_secretly
from thawline.web.staff.models import Code, Tablet

CODE = re.compile(r"[2-9A-HJ-NP-Z]{4}-[2-9A-HJ-NP-Z]{4}")


@pytest.fixture
def admin(hall):
    """A technical admin at the laptop, with a PIN."""
    hall.give_pin("Salvia Testwell", "418273")
    return hall.browser("Salvia Testwell", Role.TECHNICAL_ADMIN)


def _new(hall, admin, name="tablet 3", station="table-2", pin="418273"):
    return text(hall.press(admin, "new-tablet", tablet=name, station=station, _pin=pin))


def test_a_code_from_set_up_enrols_a_tablet_at_its_station(hall, admin):
    said = _new(hall, admin)
    [code] = set(CODE.findall(said))
    tablet = hall.browser()
    assert tablet.post("/enrol", {"code": code.lower()}, secure=True).status_code == 302
    [row] = Tablet.objects.all()
    assert (row.name, row.station, row.enrolled_by) == (
        "tablet 3",
        "table-2",
        "Salvia Testwell",
    )
    assert [e.event.says for e in hall.entries() if isinstance(e.event, Noted)] == [
        "code given for tablet tablet 3"
    ]


def test_set_up_shows_the_code_as_a_square_with_whom_to_trust(hall, admin):
    _new(hall, admin)
    page = hall.get(admin, "/set-up").content.decode()
    assert "<svg" in page
    assert "/enrol" in page
    assert CODE.search(page)


def test_a_code_is_good_once(hall, admin):
    [code] = set(CODE.findall(_new(hall, admin)))
    hall.browser().post("/enrol", {"code": code}, secure=True)
    again = hall.browser().post("/enrol", {"code": code}, secure=True)
    assert again.status_code == 403
    assert Tablet.objects.count() == 1


def test_a_code_is_good_for_ten_minutes(hall, admin, monkeypatch):
    [code] = set(CODE.findall(_new(hall, admin)))
    hall.wall(monkeypatch, minutes=10)
    late = hall.browser().post("/enrol", {"code": code}, secure=True)
    assert late.status_code == 403


def test_codes_have_forty_bits_and_are_never_kept_as_they_are():
    assert len(set(kept_secretly._LETTERS)) == 32  # 5 bits a sign, 8 signs
    assert not {"0", "O", "1", "I"} & set(kept_secretly._LETTERS)
    assert CODE.fullmatch(kept_secretly.typed(" ab23 cd45 "))


def test_guessing_codes_is_slowed_down(hall, admin):
    [code] = set(CODE.findall(_new(hall, admin)))
    guesser = hall.browser()
    for _ in range(5):
        guesser.post("/enrol", {"code": "AAAA-AAAA"}, secure=True)
    right = guesser.post("/enrol", {"code": code}, secure=True)
    assert right.status_code == 403
    assert "Try again in 1 min" in text(right)
    assert Code.objects.get().is_used is False


def test_the_tablets_secret_is_256_bits_kept_by_the_tablet_alone(hall):
    tablet = hall.tablet()
    cookie = tablet.cookies["__Host-tablet"]
    assert len(cookie.value) >= 43  # 256 bits at 6 a sign
    assert (cookie["httponly"], cookie["secure"], cookie["samesite"]) == (True, True, "Strict")
    assert cookie.value not in str(list(Tablet.objects.values()))


def test_a_revoked_tablet_is_a_stranger_at_once(hall, admin):
    hall.employ(SORREL, Role.PREPARER)
    tablet = hall.tablet("tablet 1")
    hall.come_in(tablet, SORREL, pin=PINS[SORREL])
    hall.press(admin, "revoke-tablet", tablet="tablet 1", _pin="418273")
    assert hall.get(tablet, "/draw-table").status_code == 302
    assert hall.come_in(tablet, SORREL, pin=PINS[SORREL]).status_code == 403


def test_a_tablet_that_moves_to_another_station_says_so(hall, admin):
    hall.employ(SORREL, Role.PREPARER)
    tablet = hall.tablet("tablet 1", "table-1")
    hall.press(admin, "place-tablet", tablet="tablet 1", station="table-9", _pin="418273")
    hall.come_in(tablet, SORREL, pin=PINS[SORREL])
    assert "table-9" in text(hall.get(tablet, "/draw-table"))


def test_set_up_says_when_a_tablet_was_last_heard(hall, admin, monkeypatch):
    tablet = hall.tablet("tablet 1")
    hall.wall(monkeypatch, minutes=3)
    hall.get(tablet, "/door")
    hall.wall(monkeypatch, minutes=8)
    assert "tablet 1 table-1 5 min ago" in text(hall.get(admin, "/set-up"))


def test_two_tablets_never_have_one_name(hall, admin):
    hall.tablet("tablet 3")
    [code] = set(CODE.findall(_new(hall, admin, "tablet 3")))
    second = hall.browser().post("/enrol", {"code": code}, secure=True)
    assert second.status_code == 422
    assert "revoke it first" in text(second)


@pytest.mark.parametrize("name", ["", "<b>x</b>", "x" * 41, "tab\tlet"])
def test_a_tablet_has_a_plain_name(hall, admin, name):
    before = Code.objects.count()
    hall.press(admin, "new-tablet", tablet=name, _pin="418273")
    if name != "tab\tlet":  # blanks are put right
        assert Code.objects.count() == before
    else:
        assert Code.objects.get().about == "tab let"


def test_who_makes_log_ins_types_their_pin_each_time(hall, admin):
    assert "Type the PIN" in _new(hall, admin, pin="")
    assert "does not fit" in _new(hall, admin, pin="000001")
    assert Code.objects.count() == 0


def test_a_clinical_lead_may_and_a_site_lead_may_not(hall):
    lead = hall.browser(BRYONY, Role.CLINICAL_LEAD)
    sent = hall.send(lead, "new-tablet", {"tablet": "tablet 4"}, pin=PINS[BRYONY])
    other = hall.browser("Site Lead", Role.SITE_LEAD)
    refused = hall.send(other, "new-tablet", {"tablet": "tablet 5"}, pin=PINS[BRYONY])
    assert (sent.status_code, refused.status_code) == (200, 403)
