"""
Every screen in three lights and two languages, as people with a keyboard, a phone or weak eyes
meet it.

Against axe-core's rules (WCAG 2.2 A and AA, and its best practices), and the sizes of the
design: nothing to press under 44 px, the first button 104 px where gloves are worn.
"""

import pytest
from axe_playwright_python.sync_playwright import Axe
from tests.web.browser.conftest import PHONE, TABLET, log_in, named

from thawline.base.roles import Role
from thawline.web.languages.catalogue import ENGLISH, catalogues
from thawline.web.pages import THEMES
from thawline.web.rights import Way, way
from thawline.web.screens import screens

pytestmark = pytest.mark.browser
ONE_THING = {
    "vial": "vial/XV02W",
    "lot": "lot/ZZ-1041",
    "arrival": "arrival/DEMO-001929",
    "questions": "questions/DEMO-001929",
    "dose": "dose/DEMO-002336",
    "dose-error": "dose-error/DEMO-002336",
    "entry": "entry/1",
    "emergency": "emergency/H4K7",
}
"""Screens about one thing, and a thing of the demo's hall that there is."""
IN_SPANISH = "questions/DEMO-002004"
"""The questions of somebody booked in Spanish: theirs first, whatever the screen's language."""
LANGUAGES = (ENGLISH, *catalogues())
GLOVED = {"draw-table", "chair", "dose/DEMO-002336", "observation-area", "carries"}
SMALL = """
() => [...document.querySelectorAll("a, button, input:not([type=hidden]), select, textarea")]
  .filter((each) => each.offsetParent !== null && !each.matches(".skip"))
  .map((each) => [each.textContent.trim().slice(0, 30), each.getBoundingClientRect()])
  .filter(([, box]) => box.width > 0 && (box.width < 44 || box.height < 44))
  .map(([text, box]) => `${text}: ${Math.round(box.width)} x ${Math.round(box.height)}`)
"""

PRIMARY = """
() => {
  const first = document.querySelector("main button.primary");
  return first === null ? null : Math.round(first.getBoundingClientRect().height);
}
"""
CUT = """
() => [...document.querySelectorAll("main table")]
  .filter((each) => each.offsetParent !== null)
  .map((each) => [each, each.closest(".panel") ?? document.body])
  .filter(([each, panel]) => each.getBoundingClientRect().left + each.scrollWidth
    > panel.getBoundingClientRect().right + 1)
  .map(([each]) => each.caption?.textContent ?? each.textContent.trim().slice(0, 40))
"""
"""Tables of which a column is only seen by scrolling sideways."""
FOOT = """
() => {
  const first = document.querySelector("main button.primary");
  return first === null ? 0 : Math.round(first.getBoundingClientRect().bottom + scrollY);
}
"""
IN_MAIN = "document.querySelector('main').contains(document.activeElement)"


def looked_at() -> list[tuple[str, str]]:
    """Return every screen with a role that sees it; what is spoken also in Spanish first."""
    found = [
        (seen_by(each), ONE_THING.get(each.path, each.path)) for each in screens().values()
    ]
    return [*found, (Role.SCREENER.value, IN_SPANISH)]


def seen_by(screen) -> str:
    if screen.path == "entry":  # a station reads its own entries only
        return Role.CLINICAL_LEAD.value
    return next(role.value for role in Role if way(screen.action, [role]) >= Way.PIN)


@pytest.fixture(scope="module")
def shown(hall_served, chromium):
    """A page of a screen, of somebody of that role; each role comes in once."""
    pages = {}

    def page_of(role: str, path: str, theme: str = THEMES[0], language: str = ENGLISH):
        if role not in pages or pages[role].is_closed():
            # Without the worker: a busy machine must not be answered from what was kept.
            context = chromium.new_context(
                viewport=TABLET, ignore_https_errors=True, service_workers="block"
            )
            pages[role] = context.new_page()
            log_in(pages[role], hall_served, named(role))
        page = pages[role]
        page.set_viewport_size(TABLET)
        for name, value in (("theme", theme), ("language", language)):
            cookie = {"name": name, "value": value, "url": hall_served.address}
            page.context.add_cookies([cookie])
        page.goto(f"{hall_served.address}/{path}")
        if "/door" in page.url:  # a station locks itself after two minutes, as it should
            log_in(page, hall_served, named(role))
            page.goto(f"{hall_served.address}/{path}")
        assert page.locator("body[data-screen]").count() == 1, page.inner_text("body")[:200]
        assert page.locator("html").get_attribute("lang") == language
        return page

    yield page_of
    for page in pages.values():
        page.context.close()


@pytest.mark.parametrize("language", LANGUAGES)
@pytest.mark.parametrize(("role", "path"), looked_at())
def test_axe_finds_nothing_against_a_screen_in_three_lights(role, path, language, shown):
    said = []
    for theme in THEMES:
        found = Axe().run(shown(role, path, theme, language))
        said += [
            f"{theme}: {each['id']}: {node['html'][:120]}"
            for each in found.response["violations"]
            for node in each["nodes"]
        ]
    assert not said


@pytest.mark.parametrize("language", LANGUAGES)
@pytest.mark.parametrize(("role", "path"), looked_at())
def test_everything_to_press_is_big_enough(role, path, language, shown):
    page = shown(role, path, language=language)
    assert page.evaluate("scrollY") == 0, "it opens below its alerts: a field took the focus"
    assert page.evaluate(SMALL) == []
    if path in GLOVED:
        assert page.evaluate(PRIMARY) in {None, *range(104, 400)}
        assert page.evaluate(FOOT) <= TABLET["height"], "the first button is below the fold"


@pytest.mark.parametrize("language", LANGUAGES)
@pytest.mark.parametrize(("role", "path"), looked_at())
def test_a_screen_fits_a_width_of_320_and_a_doubled_size(role, path, language, shown):
    page = shown(role, path, language=language)
    for width in (320, TABLET["width"] // 2):
        page.set_viewport_size({"width": width, "height": PHONE["height"]})
        wide = page.evaluate("document.documentElement.scrollWidth")
        assert wide <= width, f"{wide} px at {width}"
    page.set_viewport_size(PHONE)
    page.wait_for_timeout(50)  # the page turns its tables after it was resized
    assert page.evaluate(CUT) == []


@pytest.mark.parametrize(("role", "path"), looked_at())
def test_the_first_thing_to_press_is_reached_by_keyboard_and_focus_is_seen(role, path, shown):
    page = shown(role, path)
    if not page.locator("main button, main a").count():
        return
    page.evaluate("document.activeElement.blur()")
    for _ in range(60):
        page.keyboard.press("Tab")
        if page.evaluate(IN_MAIN):
            break
    assert page.evaluate(IN_MAIN)
    assert page.evaluate("getComputedStyle(document.activeElement).outlineStyle") == "solid"


def test_who_is_booked_in_spanish_is_asked_in_spanish_first(shown):
    page = shown(Role.SCREENER.value, IN_SPANISH)
    spoken = page.locator(".langs > div")
    assert [spoken.nth(n).get_attribute("lang") for n in (0, 1)] == ["es", "en"]


def test_every_screen_about_one_thing_is_looked_at():
    assert {each.path for each in screens().values() if each.takes} == set(ONE_THING)
