"""The lock in a real browser: names are hidden, and what was typed stays for whoever did."""

import pytest
from tests.cast import SORREL
from tests.web.hall import PASSPHRASE
from tests.web.test_draw_table import on_the_table

from thawline.base.roles import Role

pytestmark = pytest.mark.browser


@pytest.fixture
def vial(hall) -> str:
    """A vial on table 1, and a preparer who may hold it."""
    hall.employ(SORREL, Role.PREPARER)
    [code] = on_the_table(hall)
    return code


@pytest.fixture
def tablet(vial, address, chromium):  # noqa: ARG001  the rows are there before the server is
    """A page of the system's chromium, with a clock that the test moves."""
    context = chromium.new_context(base_url=address, ignore_https_errors=True)
    page = context.new_page()
    page.clock.install()
    yield page
    context.close()


def _at_a_vial(tablet, code: str) -> None:
    """Come in, and begin to type why a vial is held."""
    tablet.goto("/door")
    tablet.fill("#name", SORREL)
    tablet.fill("#passphrase", PASSPHRASE)
    tablet.get_by_role("button", name="Come in").click()
    tablet.wait_for_url("**/draw-table")
    tablet.goto(f"/vial/{code}")
    tablet.fill("#why", "cracked at the")


def test_a_station_that_was_left_keeps_what_was_typed_for_the_same_person(vial, tablet):
    _at_a_vial(tablet, vial)
    tablet.clock.fast_forward(31_000)
    assert tablet.evaluate("document.body.hasAttribute('data-blank')")
    tablet.clock.fast_forward(90_000)
    tablet.wait_for_selector("#lock:visible")
    assert tablet.evaluate("document.getElementById('live').inert")
    tablet.fill("#lock-phrase", PASSPHRASE)
    tablet.get_by_role("button", name="Unlock").click()
    tablet.wait_for_selector("#lock", state="hidden")
    assert tablet.input_value("#why") == "cracked at the"
    tablet.get_by_role("button", name="Hold").click()
    for _ in range(50):
        tablet.wait_for_timeout(200)
        tablet.goto(f"/vial/{vial}")
        if "HELD" in tablet.inner_text("main"):
            break
    assert "DO NOT USE" in tablet.inner_text("main")


def test_a_wrong_passphrase_leaves_the_screen_locked_and_says_so(vial, tablet):
    _at_a_vial(tablet, vial)
    tablet.clock.fast_forward(121_000)
    tablet.wait_for_selector("#lock:visible")
    tablet.fill("#lock-phrase", PASSPHRASE.upper())
    tablet.get_by_role("button", name="Unlock").click()
    tablet.wait_for_selector("#lock-said:visible")
    assert tablet.is_visible("#lock")
    assert tablet.evaluate("document.getElementById('live').inert")


def test_a_touch_keeps_the_screen_open(vial, tablet):
    _at_a_vial(tablet, vial)
    for _ in range(3):
        tablet.clock.fast_forward(100_000)
        tablet.keyboard.press("Shift")
    assert not tablet.is_visible("#lock")
    assert not tablet.evaluate("document.body.hasAttribute('data-blank')")
