"""
A tablet whose server is away: what is pressed is kept, sent in order, and recorded once.

The server is a real one, killed as a power cut does it; the tablet's clock is moved by hand.
"""

import random

import pytest
from tests.web.browser.alone import Table, Tap, entries, ready_vials
from tests.web.served import PASSPHRASE

from thawline.ledger.entries import Entry, Kind
from thawline.ledger.events import DoseDrawn, VialPunctured
from thawline.ledger.observation_events import MomentStamped

pytestmark = pytest.mark.browser
RULER_MS = 3_000
"""What the test's own reading of the site's time may be off by on a busy machine."""
STEP_S = 40
"""Sixty presses, one every 40 seconds, are forty minutes."""


def act_of(entry: Entry) -> tuple[str, str]:
    """Return what an entry says was pressed."""
    name = {VialPunctured: "open-vial", DoseDrawn: "draw-dose"}[type(entry.event)]
    return name, entry.event.vial


def inside(entry: Entry, tap: Tap) -> bool:
    """Say whether the entry's interval holds the moment of the tap, by the test's own ruler."""
    return entry.lo_ms - RULER_MS <= tap.hi_ms and tap.lo_ms <= entry.hi_ms + RULER_MS


def forty_minutes_of_work(table: Table, vials: list[str]) -> list[tuple[tuple[str, str], Tap]]:
    """Press sixty times: five doses of the vial shown, then five vials of ten doses."""
    done = []

    def press(act: str, vial: str, within: str) -> None:
        table.pass_time(STEP_S)
        tap = table.tap(f"{within} form[data-act={act}] button")
        done.append(((act, vial), tap))

    shown = table.page.locator("#live form[data-act=draw-dose] input[name=vial]").first
    first = shown.get_attribute("value") or ""
    for _ in range(5):
        press("draw-dose", first, "#live")
    for vial in vials:
        table.work_on(vial)
        press("open-vial", vial, "#alone-table")
        for _ in range(10):
            press("draw-dose", vial, "#alone-table")
    return done


def test_forty_minutes_alone_and_a_killed_server_lose_and_double_nothing(tablet, served):
    table = Table(tablet, served)
    before = len(entries(served))
    vials = ready_vials(served)[:5]
    tablet.set_offline(True)
    table.page.wait_for_selector("#alone-code")
    served.kill()
    done = forty_minutes_of_work(table, vials)
    table.pass_time(STEP_S)  # the last press waits as long as the others, however quick we are
    said = table.page.inner_text("#alone")
    served.start()
    table.bring_site_along()
    tablet.set_offline(False)
    table.at_most_waiting(50)
    served.kill()
    table.page.wait_for_timeout(2000)
    served.start()
    table.all_sent()

    new = entries(served)[before:]
    assert "60 entries will be sent later" in said
    assert [act_of(each) for each in new] == [act for act, _ in done]
    assert len({each.id for each in new}) == 60
    assert {each.kind for each in new} == {Kind.FACT}
    assert [inside(each, tap) for each, (_, tap) in zip(new, done, strict=True)] == [True] * 60
    assert max(each.hi_ms - each.lo_ms for each in new) < 60_000  # a reload leaves four minutes


def test_the_screen_that_locked_meanwhile_keeps_all_until_its_person_is_back(tablet, served):
    table = Table(tablet, served)
    before = len(entries(served))
    tablet.set_offline(True)
    table.page.wait_for_selector("#alone-code")
    tap = table.tap("#live form[data-act=draw-dose] button")
    table.site_locks_it()
    tablet.set_offline(False)
    table.page.wait_for_url("**/door**")
    assert (table.waiting(), len(entries(served))) == (1, before)

    table.all_sent()
    (new,) = entries(served)[before:]
    assert (new.by, inside(new, tap)) == (table.who, True)


def test_a_tablet_that_locked_itself_alone_stays_so_and_its_emergency_card_stamps(
    tablet, served
):
    table = Table(tablet, served)
    before = len(entries(served))
    table.until(
        "caches.open('thawline-pages').then((k) => k.match('/emergency-card')).then(Boolean)"
    )
    tablet.set_offline(True)
    table.page.wait_for_selector("#alone-code")
    table.pass_time(121)
    table.page.wait_for_selector("#lock:visible")
    table.page.fill("#lock-phrase", PASSPHRASE)
    table.page.get_by_role("button", name="Unlock").click()
    table.page.wait_for_selector("#lock-said:visible")
    assert "stays locked until it is back" in table.page.inner_text("#lock-said")

    table.page.click("#lock a[href='/emergency-card']")
    table.page.wait_for_selector("form[data-act=stamp]")
    assert table.page.get_attribute("body", "data-kept")
    tap = table.tap("form[data-act=stamp] button.primary")
    assert (table.waiting(), len(entries(served))) == (1, before)

    table.bring_site_along()
    tablet.set_offline(False)
    table.all_sent()
    (stamp,) = entries(served)[before:]
    assert (stamp.event.what, inside(stamp, tap)) == ("given", True)


def test_a_stamp_of_the_emergency_card_goes_past_what_waits_for_its_person(tablet, served):
    table = Table(tablet, served)
    before = len(entries(served))
    table.until(
        "caches.open('thawline-pages').then((k) => k.match('/emergency-card')).then(Boolean)"
    )
    tablet.set_offline(True)
    table.page.wait_for_selector("#alone-code")
    table.tap("#live form[data-act=draw-dose] button")
    table.site_locks_it()
    table.page.goto(f"{served.address}/emergency-card")
    table.page.wait_for_selector("form[data-act=stamp]")
    table.tap("form[data-act=stamp] button.primary")
    tablet.set_offline(False)
    table.at_most_waiting(1)

    assert [type(each.event) for each in entries(served)[before:]] == [MomentStamped]


def test_a_reload_in_the_middle_loses_nothing_but_two_minutes_of_certainty(tablet, served):
    table = Table(tablet, served)
    before = len(entries(served))
    tablet.set_offline(True)
    taps = [table.tap("#live form[data-act=draw-dose] button") for _ in range(2)]
    table.page.reload()
    table.page.wait_for_selector("#alone:not([hidden])")
    assert "This page is as it was at 13:" in table.page.inner_text("#alone")
    taps.append(table.tap("#live form[data-act=draw-dose] button"))
    tablet.set_offline(False)
    table.all_sent()

    new = entries(served)[before:]
    assert [type(each.event) for each in new] == [DoseDrawn] * 3
    assert all(inside(each, tap) for each, tap in zip(new, taps, strict=True))
    assert [each.hi_ms - each.lo_ms > 60_000 for each in new] == [True, True, False]


@pytest.mark.parametrize("seed", [2603, pytest.param(71, marks=pytest.mark.slow)])
def test_lost_questions_and_lost_answers_in_any_order_record_each_press_once(
    seed, tablet, served
):
    chance = random.Random(seed)  # noqa: S311  which question is lost, not a secret
    table = Table(tablet, served)
    before = len(entries(served))
    vials = ready_vials(served)[:1]
    lost = []

    def lose(route) -> None:
        fate = chance.random() if len(lost) < 8 else 1  # each costs up to half a minute
        if fate > 0.6:
            route.continue_()
            return
        lost.append(fate)
        if fate < 0.3:  # the site heard it; its answer is lost
            route.fetch()
        route.abort()

    tablet.route("**/api/act/*", lose)
    taps = [table.tap("#live form[data-act=draw-dose] button") for _ in range(4)]
    tablet.set_offline(True)
    table.page.wait_for_selector("#alone-code")
    table.work_on(vials[0])
    taps.append(table.tap("#alone-table form[data-act=open-vial] button"))
    taps += [table.tap("#alone-table form[data-act=draw-dose] button") for _ in range(8)]
    tablet.set_offline(False)
    table.all_sent()

    new = entries(served)[before:]
    assert lost, f"seed {seed} lost nothing"
    assert [type(each.event) for each in new] == [
        *[DoseDrawn] * 4,
        VialPunctured,
        *[DoseDrawn] * 8,
    ], f"seed {seed}"
    assert all(inside(each, tap) for each, tap in zip(new, taps, strict=True)), f"seed {seed}"
