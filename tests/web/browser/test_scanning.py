"""
A scanner types into a real page: caught whatever has the focus, answered within 300 ms.

The scanner is played by key events as a browser gets them from a keyboard.
"""

import pytest
from playwright.sync_api import Page, expect
from tests.web.browser.alone import entries, ready_vials
from tests.web.browser.conftest import log_in, named

from thawline.exchange.typed import TEST_CODE
from thawline.ledger.events import DoseDrawn, DoseGiven, PersonBooked
from thawline.ledger.observation_events import PersonLeft

pytestmark = pytest.mark.browser
ANSWER_MS = 300
"""The budget of the design for an answer to a scan."""
KEYS = """
async ([text, gap]) => {
  const wait = (ms) => new Promise((go) => setTimeout(go, ms));
  for (const character of [...text]) {
    const key = character === "\\x1d" ? "]" : character;
    const more = { key, ctrlKey: character === "\\x1d", bubbles: true, cancelable: true };
    document.activeElement.dispatchEvent(new KeyboardEvent("keydown", more));
    const field = document.activeElement;
    if (field.matches("input") && character !== "\\x1d") field.value += character;
    if (gap) await wait(gap);
  }
  const enter = { key: "Enter", bubbles: true, cancelable: true };
  return document.activeElement.dispatchEvent(new KeyboardEvent("keydown", enter));
}
"""
ANSWERED = """
() => new Promise((go) => {
  const began = performance.now();
  const look = () => {
    const place = document.getElementById("scanned");
    if (!place.hidden) go([performance.now() - began, place.innerText]);
    else if (performance.now() - began > 5000) go([null, ""]);
    else setTimeout(look, 5);
  };
  look();
})
"""


@pytest.fixture(scope="module")
def vial(hall_served) -> str:
    return ready_vials(hall_served)[0]


@pytest.fixture
def page(tablet, hall_served) -> Page:
    """The draw table, with whoever prepares logged in."""
    found = tablet.new_page()
    log_in(found, hall_served, named("preparer"))
    return opened(found, hall_served, "vials")


def opened(page: Page, served, path: str) -> Page:
    page.goto(f"{served.address}/{path}")
    page.wait_for_load_state("networkidle")
    return page


def scan(page: Page, text: str, gap_ms: int = 0) -> bool:
    """Type as a scanner does; say whether the Enter went on to the page."""
    went_on: bool = page.evaluate(KEYS, [text, gap_ms])
    return went_on


def answer(page: Page) -> str:
    """Return what the page shows of the scan."""
    page.wait_for_selector("#scanned:not([hidden])")
    return page.inner_text("#scanned")


def test_a_scan_is_answered_within_the_budget(page):
    scan(page, "XX00X")  # the first answer also starts the sound
    answer(page)
    page.evaluate("document.getElementById('scanned').hidden = true")
    scan(page, "XX00Y")
    took_ms, says = page.evaluate(ANSWERED)
    assert "No vial XX00Y here" in says
    assert took_ms <= ANSWER_MS
    assert page.get_attribute("html", "data-tone") == "not-taken"


def test_a_scanned_vial_opens_its_page_with_a_rising_tone(page, vial):
    scan(page, vial)
    page.wait_for_url(f"**/vial/{vial}")
    assert vial in page.inner_text("#main")


def test_a_flag_misread_by_one_character_brings_the_near_one(page, vial):
    wrong = vial[0] + vial[2] + vial[1] + vial[3:]  # no flag has this shape
    scan(page, wrong)
    assert f"Did you mean {vial}" in answer(page)
    page.click("#scanned button")
    page.wait_for_url(f"**/vial/{vial}")


def test_a_scan_is_not_left_in_the_field_that_has_the_focus(page, hall_served, vial):
    opened(page, hall_served, f"vial/{vial}")
    page.fill("#why", "sha")
    assert scan(page, "CARD1DRAWN") is False
    assert page.input_value("#why") == "sha"
    assert "no such button" in answer(page)


def test_what_a_person_types_is_no_scan(page, hall_served, vial):
    opened(page, hall_served, f"vial/{vial}")
    page.focus("#why")
    assert scan(page, "particles", gap_ms=60) is True
    assert page.input_value("#why") == "particles"
    assert page.is_hidden("#scanned")


def test_a_scan_into_a_dialog_is_answered_and_closes_nothing(page):
    page.evaluate(
        "() => { const d = document.createElement('dialog'); d.id = 'd';"
        " d.append(document.createElement('input')); document.body.append(d); d.showModal();"
        " d.querySelector('input').focus(); }"
    )
    assert scan(page, "XX00X") is False
    assert "No vial XX00X here" in answer(page)
    assert page.evaluate("document.getElementById('d').open")


def test_two_scans_at_the_same_moment_are_no_code_and_press_nothing(page, hall_served):
    opened(page, hall_served, "draw-table")
    before = len(entries(hall_served))
    pairs = zip("CARD1DRAWN", "CARDUNDONE", strict=True)
    mixed = "".join(character for pair in pairs for character in pair)
    scan(page, mixed)
    answer(page)
    assert len(entries(hall_served)) == before


def test_a_command_card_draws_a_dose_and_twice_within_two_seconds_is_once(page, hall_served):
    opened(page, hall_served, "draw-table")
    before = len(entries(hall_served))
    scan(page, "CARD1DRAWN")
    scan(page, "CARD1DRAWN")
    page.wait_for_timeout(1500)
    assert "1 dose drawn" in answer(page)
    assert [type(each.event) for each in entries(hall_served)[before:]] == [DoseDrawn]


def seats(page: Page, kind: str) -> list[str]:
    """Return the people whom the observation area lists so: "Left" or "Left early"."""
    fields = page.locator("form[data-act=left]", has_text=kind).locator("[name=person]")
    codes = [field.get_attribute("value") or "" for field in fields.all()]
    early = seats(page, "Left early") if kind == "Left" else []
    return [code for code in codes if code not in early]


@pytest.fixture
def area(tablet, hall_served) -> Page:
    """The observation area, with whoever observes logged in."""
    found = tablet.new_page()
    log_in(found, hall_served, named("observer"))
    return opened(found, hall_served, "observation-area")


def test_the_card_may_leave_lets_whoever_was_scanned_leave_and_nobody_after(area, hall_served):
    before = len(entries(hall_served))
    first = seats(area, "Left")[0]
    scan(area, "CARDLEAVES")
    assert "Scan the person's code first" in answer(area)
    scan(area, first)
    area.wait_for_timeout(2100)  # the same card within two seconds is one
    scan(area, "CARDLEAVES")
    area.wait_for_timeout(1500)
    new = [each.event for each in entries(hall_served)[before:]]
    assert [(type(each), each.person) for each in new] == [(PersonLeft, first)]
    area.wait_for_timeout(1000)
    scan(area, "CARDLEAVES")
    assert "Scan the person's code first" in answer(area)


def test_the_card_may_leave_lets_nobody_leave_who_must_stay(area, hall_served):
    before = len(entries(hall_served))
    stays = seats(area, "Left early")[-1]
    scan(area, stays)
    area.wait_for_timeout(500)
    scan(area, "CARDLEAVES")
    area.wait_for_timeout(1000)
    assert f"Not yet: look at the time beside {stays}" in answer(area)
    assert len(entries(hall_served)) == before


def chair(tablet, served) -> Page:
    """The Chair, with whoever vaccinates logged in."""
    found = tablet.new_page()
    log_in(found, served, named("vaccinator"))
    return opened(found, served, "chair")


def test_at_the_chair_the_card_then_the_syringe_go_into_their_fields(tablet, hall_served, vial):
    page = chair(tablet, hall_served)
    scan(page, person_here(hall_served))
    page.wait_for_url(f"**/dose/{person_here(hall_served)}")
    with page.expect_request("**/api/act/check-dose") as asked:
        scan(page, vial)
    assert asked.value.post_data_json["form"]["code"] == vial
    assert "/dose/" in page.url


def test_a_badge_goes_into_the_field_for_a_second_person_only_with_the_cursor_there(
    tablet, hall_served, vial
):
    page = chair(tablet, hall_served)
    opened(page, hall_served, f"vial/{vial}")
    page.evaluate(FIELD)
    badge = named("clinical lead")
    page.focus("#second")
    scan(page, badge)
    expect(page.locator("#second")).to_have_value(badge)
    assert page.url.endswith(f"/vial/{vial}")
    page.evaluate("document.activeElement.blur()")
    page.wait_for_timeout(2100)  # the same scan again within two seconds is ignored
    # Awaited whole: a browser that is closed on its way may never come to an end.
    with page.expect_navigation(), page.expect_request("**/door"):
        scan(page, badge)


FIELD = """() => {
  const field = Object.assign(document.createElement("input"), { id: "second" });
  field.dataset.scan = "badge";
  field.dataset.then = "wait";
  document.querySelector("main").append(field);
}"""


def person_here(served) -> str:
    """Return somebody who is booked here and has no dose yet."""
    events = [each.event for each in entries(served)]
    given = {each.person for each in events if isinstance(each, DoseGiven)}
    booked = [each.person for each in events if isinstance(each, PersonBooked)]
    return next(each for each in booked if each not in given)


@pytest.mark.parametrize(
    ("typed", "learned", "advised"),
    [
        (TEST_CODE, {"separator": "\x1d", "swapped": False, "caps": False}, 0),
        (TEST_CODE.replace("\x1d", ""), {"separator": "", "swapped": False}, 1),
        (TEST_CODE.translate(str.maketrans("yzYZ-", "zyZYß")), {"swapped": True}, 1),
        (TEST_CODE.swapcase(), {"caps": True}, 1),
    ],
    ids=["as printed", "no separator", "another layout", "caps lock"],
)
def test_two_scans_of_the_test_code_teach_the_tablet(
    typed, learned, advised, page, hall_served
):
    opened(page, hall_served, "scanner-test")
    scan(page, typed)
    scan(page, typed)
    page.wait_for_timeout(1000)
    kept = page.evaluate("JSON.parse(localStorage.getItem('thawline.scanner'))")
    assert {name: kept[name] for name in learned} == learned
    assert page.locator("#advice li").count() == advised


def test_what_the_tablet_learned_is_used_for_the_next_scan(page, hall_served, vial):
    swapped = str.maketrans("yzYZ-", "zyZYß")
    opened(page, hall_served, "scanner-test")
    for _ in range(2):
        scan(page, TEST_CODE.translate(swapped))
    page.wait_for_timeout(1000)
    opened(page, hall_served, "vials")
    scan(page, vial.translate(swapped))
    page.wait_for_url(f"**/vial/{vial}")
    assert vial in page.inner_text("#main")


def test_a_tablet_that_has_shown_a_hold_says_so(page, hall_served):
    opened(page, hall_served, "draw-table")
    page.wait_for_timeout(1500)
    kept = page.evaluate("JSON.parse(localStorage.getItem('thawline.holds'))")
    on_page = page.get_attribute("#live", "data-holds").split()
    assert on_page
    assert kept == [int(each) for each in on_page]
