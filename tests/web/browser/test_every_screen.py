"""
Every screen in three lights, as people with a keyboard, a phone or weak eyes meet it.

Against axe-core's rules (WCAG 2.2 A and AA, and its best practices), and the sizes of the
design: nothing to press under 44 px, the first button 104 px where gloves are worn.
"""

import pytest
from axe_playwright_python.sync_playwright import Axe
from tests.web.browser.conftest import PHONE, TABLET, log_in, named

from thawline.web.pages import THEMES
from thawline.web.screens import screens

pytestmark = pytest.mark.browser
LOOKS = {
    "site lead": ("today", "vials"),
    "preparer": ("draw-table",),
}
GLOVED = {"draw-table", "chair", "observation-area", "carries"}
SMALL = """
() => [...document.querySelectorAll("a, button, input:not([type=hidden]), select, textarea")]
  .filter((each) => each.offsetParent !== null && !each.matches(".skip"))
  .map((each) => [each.textContent.trim().slice(0, 30), each.getBoundingClientRect()])
  .filter(([, box]) => box.width > 0 && (box.width < 44 || box.height < 44))
  .map(([text, box]) => `${text}: ${Math.round(box.width)} x ${Math.round(box.height)}`)
"""


def looked_at() -> list[tuple[str, str]]:
    return [(role, path) for role, paths in LOOKS.items() for path in paths]


@pytest.mark.parametrize(("role", "path"), looked_at())
@pytest.mark.parametrize("theme", THEMES)
def test_axe_finds_nothing_against_a_screen(role, path, theme, hall_served, tablet):
    page = shown(tablet, hall_served, role, path, theme)
    found = Axe().run(page)
    said = [
        f"{each['id']}: {node['html'][:120]}"
        for each in found.response["violations"]
        for node in each["nodes"]
    ]
    assert not said


@pytest.mark.parametrize(("role", "path"), looked_at())
def test_everything_to_press_is_big_enough(role, path, hall_served, tablet):
    page = shown(tablet, hall_served, role, path)
    assert page.evaluate(SMALL) == []
    first = page.locator("button.primary")
    if path in GLOVED and first.count():
        assert first.first.bounding_box()["height"] >= 104


@pytest.mark.parametrize(("role", "path"), looked_at())
def test_a_screen_fits_a_width_of_320_and_a_doubled_size(role, path, hall_served, tablet):
    page = shown(tablet, hall_served, role, path)
    for width in (320, TABLET["width"] // 2):
        page.set_viewport_size({"width": width, "height": PHONE["height"]})
        wide = page.evaluate("document.documentElement.scrollWidth")
        assert wide <= width, f"{wide} px at {width}"


@pytest.mark.parametrize(("role", "path"), looked_at())
def test_the_first_button_is_reached_by_keyboard_and_focus_is_seen(
    role, path, hall_served, tablet
):
    page = shown(tablet, hall_served, role, path)
    wanted = page.locator("main button.primary, main a, main button").first
    if not wanted.count():
        return
    wanted_text = wanted.inner_text()
    for _ in range(60):
        page.keyboard.press("Tab")
        at = page.evaluate("document.activeElement.innerText")
        if at == wanted_text:
            break
    assert at == wanted_text
    style = page.evaluate("getComputedStyle(document.activeElement).outlineStyle")
    assert style == "solid"


def test_every_screen_of_the_registry_is_looked_at():
    seen = {path for paths in LOOKS.values() for path in paths} | ONE_THING
    assert set(screens()) == seen


ONE_THING = {"vial"}
"""Screens about one thing, looked at where that thing is."""


def shown(tablet, served, role: str, path: str, theme: str = THEMES[0]):
    """Return a page of somebody of that role."""
    page = tablet.new_page()
    tablet.add_cookies([{"name": "theme", "value": theme, "url": served.address}])
    log_in(page, served, named(role))
    page.goto(f"{served.address}/{path}")
    page.wait_for_load_state()
    return page
