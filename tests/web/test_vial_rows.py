"""Rows of the list of vials are kept between looks, but nobody's form and no old state."""

import re

import pytest
from tests.cast import HAZEL, SORREL
from tests.web.hall import text
from tests.web.people import LOT, events, ready

from thawline.app import holds, vials
from thawline.app.receiving import Label, receive_frozen
from thawline.base.roles import Role
from thawline.ledger.events import VialMoved
from thawline.receive.inspection import Arrival
from thawline.web.once import TOKEN as TOKEN_KEPT
from thawline.web.stations import vial_rows

TOKEN = re.compile(r'action="/act/to-table".*?name="csrfmiddlewaretoken" value="([^"]+)"')


def chilled(hall) -> None:
    """Put a vial into the refrigerator at 04:00."""
    label = Label(LOT, "2026-08")
    receive_frozen(hall.site, hall.doing(wall="01:00"), label, "freezer-1", Arrival(9, 9, None))
    vials.take_out(hall.site, hall.doing(wall="04:00"), LOT, "freezer-1", 1, "fridge")


@pytest.fixture(autouse=True)
def written(monkeypatch):
    """How many rows were written, from none kept."""
    found, plain = [], vial_rows.render_to_string
    monkeypatch.setattr(vial_rows, "_kept", {})
    monkeypatch.setattr(
        vial_rows,
        "render_to_string",
        lambda name, *told, **how: (
            found.extend([1] * (name == "vials-row.html")) or plain(name, *told, **how)
        ),
    )
    return found


def test_who_looks_after_another_is_shown_the_same_rows_with_a_form_of_their_own(hall, written):
    chilled(hall)
    first, second = (hall.browser(name, Role.PREPARER) for name in (HAZEL, SORREL))
    pages = [hall.get(each, "/vials").content.decode() for each in (first, second)]
    tokens = [TOKEN.search(page)[1] for page in pages]
    assert (len(written), tokens[0] == tokens[1]) == (1, False)
    assert all(TOKEN_KEPT not in page for page in pages)
    second.handler.enforce_csrf_checks = True
    [code] = re.findall(r'name="vials" value="([^"]+)"', pages[1])
    sent = {"vials": code, "csrfmiddlewaretoken": tokens[1]}
    told = {"secure": True, "HTTP_REFERER": "https://localhost/vials"}
    second.post("/act/to-table", sent, **told)
    assert [each.vials for each in events(hall, VialMoved)][-1] == (code,)


def test_a_hold_shows_at_once_in_a_row_that_was_kept(hall):
    [code] = ready(hall)
    browser = hall.browser(HAZEL, Role.PREPARER)
    assert "HELD" not in text(hall.get(browser, "/vials"))
    holds.hold(hall.site, hall.doing(why="shaken"), [code])
    assert "<b>HELD" in hall.get(browser, "/vials").content.decode()


def test_whoever_may_not_carry_is_offered_no_carry(hall):
    chilled(hall)
    hall.get(hall.browser(HAZEL, Role.PREPARER), "/vials")
    page = hall.get(hall.browser(SORREL, Role.AUDITOR), "/vials").content.decode()
    assert "/act/to-table" not in page
