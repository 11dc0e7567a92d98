"""When a screen locks, what stays behind the lock, and who opens it again."""

from uuid import uuid4

import pytest
from tests.cast import PINS, ROWAN, SORREL
from tests.web.hall import text
from tests.web.people import ready

from thawline.base.roles import Role
from thawline.web.acts import Form, PageAct
from thawline.web.press import Sent, press
from thawline.web.who import Who

BY_ITSELF = {"HTTP_SEC_FETCH_DEST": "empty"}
BY_HAND = {"HTTP_SEC_FETCH_DEST": "document"}


@pytest.fixture
def station(hall):
    """The browser of a preparer who came in by PIN at table 1."""
    hall.employ(SORREL, Role.PREPARER)
    hall.employ(ROWAN, Role.RUNNER)
    tablet = hall.tablet()
    hall.come_in(tablet, SORREL, pin=PINS[SORREL])
    return tablet


def test_a_station_locks_two_minutes_after_the_last_touch(hall, station, monkeypatch):
    hall.wall(monkeypatch, seconds=115)
    assert hall.get(station, "/draw-table", **BY_HAND).status_code == 200
    hall.wall(monkeypatch, seconds=115 + 119)
    assert hall.get(station, "/draw-table", **BY_HAND).status_code == 200
    hall.wall(monkeypatch, seconds=115 + 119 + 120)
    assert hall.get(station, "/draw-table", **BY_HAND).url == "/door?next=/draw-table"


def test_a_page_that_looks_for_news_by_itself_is_no_touch(hall, station, monkeypatch):
    for seconds in (40, 80, 119):
        hall.wall(monkeypatch, seconds=seconds)
        assert hall.get(station, "/draw-table", **BY_ITSELF).status_code == 200
    hall.wall(monkeypatch, seconds=120)
    assert hall.get(station, "/draw-table", **BY_ITSELF).status_code == 302


def test_a_lead_at_a_desk_has_ten_minutes(hall, monkeypatch):
    desk = hall.browser("Lead At A Desk", Role.SITE_LEAD)
    hall.wall(monkeypatch, minutes=9, seconds=55)
    assert hall.get(desk, "/today", **BY_ITSELF).status_code == 200
    hall.wall(monkeypatch, minutes=10)
    assert hall.get(desk, "/today", **BY_HAND).status_code == 302


def test_a_lead_on_a_tablet_at_a_station_has_two(hall, monkeypatch):
    hall.employ(SORREL, Role.SITE_LEAD)
    tablet = hall.tablet()
    hall.come_in(tablet, SORREL, pin=PINS[SORREL])
    hall.wall(monkeypatch, minutes=2)
    assert hall.get(tablet, "/today", **BY_HAND).status_code == 302


def test_nobody_acts_on_a_locked_screen(hall, station):
    station.post("/lock", secure=True)
    sent = hall.send(station, "draw-dose", {"vial": "HK47M"})
    assert (sent.status_code, sent.json()["needs"]) == (401, "unlock")
    assert hall.press(station, "draw-dose", vial="HK47M").status_code == 403


def test_a_locked_screen_says_whose_it_is_and_opens_to_their_pin(hall, station):
    station.post("/lock", secure=True)
    assert f"{SORREL} works here" in text(hall.get(station, "/door"))
    hall.come_in(station, SORREL, pin=PINS[SORREL])
    assert hall.get(station, "/draw-table").status_code == 200


def test_the_same_person_unlocks_the_page_as_it_stands_with_a_new_session_id(hall, station):
    hall.get(station, "/draw-table")
    station.post("/lock", secure=True)
    before = station.cookies["__Host-session"].value
    token = station.cookies["__Host-csrf"].value
    how = {"name": SORREL, "pin": PINS[SORREL]}
    assert station.post("/door", how, secure=True, **BY_ITSELF).status_code == 204
    assert station.cookies["__Host-session"].value != before
    assert station.cookies["__Host-csrf"].value == token


def test_somebody_else_gets_their_own_screen_and_nothing_of_the_first(hall, station):
    vial = ready(hall)[0]
    assert f"{vial} opened" in text(hall.press(station, "open-vial", vial=vial))
    station.post("/lock", secure=True)
    came = hall.come_in(station, ROWAN, pin=PINS[ROWAN], _next="/draw-table")
    assert came.url == "/"
    assert f"{vial} opened" not in text(hall.get(station, "/carries"))


def test_a_session_ends_twelve_hours_after_coming_in_whatever_was_touched(
    hall, station, monkeypatch
):
    for minutes in range(90, 12 * 60, 90):
        session = station.session
        session["seen"] = session["since"] + minutes * 60_000
        session.save()
        hall.wall(monkeypatch, minutes=minutes)
        assert hall.get(station, "/draw-table").status_code == 200
    hall.wall(monkeypatch, hours=12)
    assert hall.get(station, "/draw-table").status_code == 302


def test_a_touch_is_taken_while_open_and_refused_once_locked(hall, station):
    assert station.post("/touched", secure=True).status_code == 204
    station.post("/lock", secure=True)
    assert station.post("/touched", secure=True).status_code == 423
    assert hall.browser().post("/touched", secure=True).status_code == 423


def test_what_is_stamped_on_a_locked_tablet_is_nobodys_by_name(hall):
    seen = []
    stamp = PageAct(
        "x", "stamp", Form, lambda _site, doing, _form: seen.append(doing.by), lambda *_: ""
    )
    who = Who(name=SORREL, roles=frozenset({Role.PREPARER}), locked=True)
    press(hall.site, who, stamp, Sent(uuid4(), {}))
    assert seen == ["not named"]
