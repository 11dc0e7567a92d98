"""
A tablet whose server is away: what is pressed is kept, sent in order, and recorded once.

The server is a real one, killed as a power cut does it; the tablet's clock is moved by hand.
"""

from datetime import timedelta

import pytest
from tests.web.browser.conftest import log_in, named

from thawline.adapters import rehearsal
from thawline.adapters.wiring import open_site
from thawline.ledger.events import DoseDrawn, DoseWasted

pytestmark = pytest.mark.browser
MINUTES = 40
PRESSES = 60


def entries(served) -> list:
    """Return the ledger as written."""
    site = open_site(served.home, "harrowmint")
    with site.ledger.view() as view:
        return list(view.entries())


def at_the_table(tablet, served):
    """Return a preparer's page at the draw table, whose clock the test moves."""
    page = tablet.new_page()
    page.clock.install()
    log_in(page, served, named("preparer"), "table-1")
    page.goto(f"{served.address}/draw-table")
    page.wait_for_selector("form[data-act=draw-dose], form[data-act=open-vial]")
    return page


def test_look(tablet, served):
    page = at_the_table(tablet, served)
    print(page.inner_text("body"))
    msgs = []
    page.on("console", lambda m: msgs.append(m.text))
    page.on("pageerror", lambda e: msgs.append(str(e)))
    page.click("button.primary")
    page.wait_for_timeout(1500)
    print(page.inner_text("body")[:1500], msgs)
    print([type(e.event).__name__ for e in entries(served)[-3:]])
    tablet.set_offline(True)
    page.click("button.primary")
    page.wait_for_timeout(1500)
    print(page.inner_text("body")[:900], msgs)
    tablet.set_offline(False)
    page.wait_for_timeout(3500)
    print(page.inner_text("body")[:900], msgs)
    print(
        [
            (type(e.event).__name__, e.lo_ms, e.hi_ms, e.recorded_ms)
            for e in entries(served)[-3:]
        ]
    )
    page.screenshot(path="/tmp/wd_shot.png")
    assert 0
