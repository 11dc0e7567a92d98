"""A rehearsal's present is moved on a page of its own; a live site has no such page."""

from dataclasses import replace

import pytest
from tests.cast import ROWAN
from tests.web.hall import text

from thawline.adapters import rehearsal, sites
from thawline.base.roles import Role
from thawline.web import here


@pytest.fixture
def rehearsed(hall, monkeypatch):
    """The hall as a site of invented data."""
    path = hall.folder / sites.SETTINGS
    path.write_text(path.read_text().replace("demo = false", "demo = true"))
    told = (replace(hall.site, demo=True), sites.read_settings(hall.folder))
    monkeypatch.setattr(here, "_served", lambda _folder: told)
    return hall


def test_a_live_site_has_no_such_page(hall):
    browser = hall.browser(ROWAN, Role.SITE_LEAD)
    assert hall.get(browser, "/rehearsal").status_code == 404
    sent = {"day": "2026-02-03", "wall": "14:00"}
    assert browser.post("/rehearsal", sent, secure=True).status_code == 404
    assert not rehearsal.is_moved(hall.folder)


def test_a_site_lead_moves_the_present_forward(rehearsed):
    browser = rehearsed.browser(ROWAN, Role.SITE_LEAD)
    sent = {"day": "2026-02-03", "wall": "14:00"}
    assert browser.post("/rehearsal", sent, secure=True).status_code == 302
    clock = rehearsal.RehearsalClock(rehearsed.folder)
    assert clock.now().strftime("%Y-%m-%d %H:%M") == "2026-02-03 20:00"  # UTC


def test_it_is_marked_on_every_screen(rehearsed):
    browser = rehearsed.browser(ROWAN, Role.SITE_LEAD)
    assert "DEMO: everything at this site is invented" in text(rehearsed.get(browser, "/today"))
    browser.post("/rehearsal", {"day": "2026-02-03", "wall": "14:00"}, secure=True)
    for path in ("/today", "/vials"):
        assert "Rehearsal: the present is moved" in text(rehearsed.get(browser, path))


def test_the_present_is_never_before_the_last_entry(rehearsed):
    browser = rehearsed.browser(ROWAN, Role.SITE_LEAD)
    sent = {"day": "2026-02-02", "wall": "23:00"}  # the protocol was adopted after that
    answer = browser.post("/rehearsal", sent, secure=True)
    assert answer.status_code == 422
    assert "cannot be before it" in text(answer)
    assert not rehearsal.is_moved(rehearsed.folder)


def test_a_preparer_does_not_move_it(rehearsed):
    browser = rehearsed.browser(ROWAN, Role.PREPARER)
    assert rehearsed.get(browser, "/rehearsal").status_code == 403
