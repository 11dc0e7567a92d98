"""The PIN again before a screen: for those to whom the table gives it only so."""

import pytest
from tests.cast import PINS, SORREL
from tests.web.hall import text

from thawline.base.roles import Role
from thawline.web.rights import Right, rights


@pytest.fixture
def desk(hall, monkeypatch):
    """A runner to whom the table gives the vials only with the PIN."""
    table = {**rights(), "see-vials": Right("see the vials", pin=(Role.RUNNER,))}
    monkeypatch.setattr("thawline.web.rights.rights", lambda: table)
    return hall.browser(SORREL, Role.RUNNER)


def test_the_screen_asks_for_the_pin_and_opens_with_it_for_ten_minutes(hall, desk):
    assert hall.get(desk, "/vials").url == "/pin?next=/vials"
    opened = desk.post("/pin", {"pin": PINS[SORREL], "_next": "/vials"}, secure=True)
    assert opened.url == "/vials"
    assert hall.get(desk, "/vials").status_code == 200
    session = desk.session
    session["pin_at"] -= 10 * 60_000
    session.save()
    assert hall.get(desk, "/vials").status_code == 302


def test_a_wrong_pin_opens_nothing_and_is_counted(hall, desk):
    for _ in range(5):
        wrong = desk.post("/pin", {"pin": "000001"}, secure=True)
    assert wrong.status_code == 403
    sixth = desk.post("/pin", {"pin": PINS[SORREL]}, secure=True)
    assert "Try again in 1 min" in text(sixth)
    assert hall.get(desk, "/vials").status_code == 302


def test_somebody_else_types_their_own(hall, desk):
    desk.post("/pin", {"pin": PINS[SORREL]}, secure=True)
    hall.employ("Another Runner", Role.RUNNER)
    hall.come_in(desk, "Another Runner", passphrase="four grey geese go home")  # noqa: S106
    assert hall.get(desk, "/vials").status_code == 302


def test_nobody_is_asked_for_a_pin(hall):
    assert hall.get(hall.browser(), "/pin").url == "/door"
