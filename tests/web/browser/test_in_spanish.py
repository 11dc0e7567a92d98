"""A draw table in Spanish: the server goes away, and its scripts still speak its language."""

import pytest
from tests.web.browser.alone import Table, entries
from tests.web.browser.conftest import log_in, named

from thawline.ledger.events import DoseDrawn

pytestmark = pytest.mark.browser
DRAW = "#live form[data-act=draw-dose] button"


def test_a_table_alone_speaks_spanish_and_what_it_sends_later_is_the_same_entry(tablet, served):
    before = len(entries(served))
    tablet.add_cookies([{"name": "language", "value": "es", "url": served.address}])
    table = Table(tablet, served)
    assert table.page.inner_text("h1") == "Mesa de preparación"
    tablet.set_offline(True)
    table.page.wait_for_selector("#alone-code")
    assert table.page.inner_text("#alone").startswith("Trabaja sin el servidor desde las ")
    table.tap(DRAW)
    table.page.wait_for_selector("text=/se enviará más tarde/")
    tablet.set_offline(False)
    table.all_sent()

    assert [type(each.event) for each in entries(served)[before:]] == [DoseDrawn]


def test_the_language_is_chosen_at_the_foot_and_english_is_one_press_back(tablet, served):
    page = Table(tablet, served).page
    page.click("footer button[lang=es]")
    page.wait_for_selector("h1:text('Mesa de preparación')")
    page.click("footer button[lang=en]")
    page.wait_for_selector("h1:text('Draw table')")
    assert page.locator("html").get_attribute("lang") == "en"


def test_each_printed_sheet_in_spanish_says_that_it_is_a_draft(tablet, served):
    tablet.add_cookies([{"name": "language", "value": "es", "url": served.address}])
    page = tablet.new_page()
    log_in(page, served, named("site lead"))
    page.goto(f"{served.address}/paper-pack")
    page.emulate_media(media="print")
    sheets = page.locator(".sheet:visible").count()
    assert sheets >= 5
    assert page.locator(".mark.draft:visible").count() == sheets
