"""
Undo while the server is away: taken back if it was certainly never sent, else undone after it.

The first press on a tablet alone is tried at once, so the site may have heard it; what stands
behind it in the queue was never sent to anybody.
"""

import sqlite3
from contextlib import closing

import pytest
from tests.web.browser.alone import Table, entries

from thawline.ledger.events import Corrected, DoseDrawn

pytestmark = pytest.mark.browser
DRAW = "#live form[data-act=draw-dose] button"
TOLD = "import('/static/web/kept.js').then((k) => k.takenBack()).then((b) => !b.length)"
UNDO = "#told-line form button"


@pytest.fixture
def table(tablet, served) -> Table:
    """A draw table whose server is away."""
    found = Table(tablet, served)
    tablet.set_offline(True)
    found.page.wait_for_selector("#alone-code")
    return found


def answered(served) -> set[int]:
    """Return the numbers of a tablet's entries that the site does not wait for."""
    with closing(sqlite3.connect(served.folder / "ops.db")) as rows:
        return {number for (number,) in rows.execute("SELECT number FROM tablets_arrived")}


def test_a_press_that_was_never_sent_is_taken_back_and_leaves_no_gap(table, tablet, served):
    before = len(entries(served))
    table.tap(DRAW)
    table.tap(DRAW)
    table.page.click(UNDO)
    table.page.wait_for_selector("text=/taken back. It was never sent/")
    assert table.waiting() == 1
    tablet.set_offline(False)
    table.all_sent()
    table.until(TOLD, 60)

    assert [type(each.event) for each in entries(served)[before:]] == [DoseDrawn]
    assert answered(served) == {1, 2}


def test_a_press_that_may_have_been_sent_is_undone_by_a_second_entry(table, tablet, served):
    before = len(entries(served))
    table.tap(DRAW)
    table.page.click(UNDO)
    table.until("Number(localStorage.getItem('thawline.newest')) === 2")
    assert table.waiting() == 2
    tablet.set_offline(False)
    table.all_sent()

    drawn, undone = entries(served)[before:]
    assert (type(drawn.event), type(undone.event)) == (DoseDrawn, Corrected)
    assert (undone.event.target, undone.event.undo) == (str(drawn.id), True)


def test_a_minute_later_no_undo_is_offered_any_more(table):
    table.tap(DRAW)
    assert table.page.locator(UNDO).count() == 1
    table.pass_time(61)
    table.until("document.querySelector('#told-line form') === null")
