"""
The work of a day at the pages, each task as a finger and a scanner play it, and its budget.

The budgets are those of the design's section 1.2, which are targets of the project's own and no
service times. Taps are presses on the glass, scans are codes read; typing is not counted, as a
name is typed once a person and no page can spare it. Seconds are the machine's: from the first
touch until the answer is shown, with nobody thinking or speaking in between.
"""

import time
from collections.abc import Callable
from dataclasses import dataclass

from playwright.sync_api import Page
from tests.web.browser.alone import entries
from tests.web.browser.conftest import named
from tests.web.browser.test_scanning import KEYS
from tests.web.browser.test_tuesday import (
    DEAD_MS,
    PIN,
    Crew,
    drawn,
    people_to_come,
    press,
    through_the_door,
)
from tests.web.served import Served

from thawline.adapters import sites
from thawline.adapters.pins import FilePins
from thawline.ledger.entries import Entry


@dataclass
class Finger:
    """One finger and one scanner at a page; counts what they do."""

    page: Page
    served: Served
    about: tuple[str, ...] = ()
    taps: int = 0
    scans: int = 0
    began: float = 0.0
    before: int = 0

    def ready(self) -> None:
        """Let the page come to rest; from here the task counts."""
        self.page.wait_for_load_state("networkidle")
        self.page.wait_for_timeout(DEAD_MS)
        self.before = len(entries(self.served))
        self.began = time.monotonic()

    def loaded(self) -> None:
        """Wait until a page's scripts run and it takes a press, as a hand does."""
        self.page.wait_for_load_state("load")
        self.rest()

    def tap(self, selector: str) -> None:
        """Press a button once."""
        self.taps += 1
        self.page.locator(selector).first.click()

    def scan(self, code: str) -> None:
        """Let the scanner type a code."""
        self.scans += 1
        self.page.evaluate(KEYS, [code, 0])

    def rest(self) -> None:
        """Wait as long as a page takes no press after a change, and a little longer."""
        self.page.wait_for_timeout(DEAD_MS)

    def shows(self, selector: str) -> None:
        """Wait until the page shows something."""
        self.page.wait_for_selector(selector, timeout=20_000)

    def recorded(self, count: int = 1) -> list[Entry]:
        """Return what was recorded; AssertionError where it is not so many."""
        for _ in range(200):
            new = entries(self.served)[self.before :]
            if len(new) >= count:
                break
            self.page.wait_for_timeout(100)
        assert len(new) == count, [type(each.event).__name__ for each in new]
        return new


@dataclass(frozen=True, slots=True)
class Task:
    """
    One task.

    Args:
        says: As the table of evidence names it.
        touches: The budget, taps and scans together.
        budget_s: In seconds, of which the machine may need no more; None: it has none.
        prepare: Brings a page to where the task begins.
        play: Plays it; returns the names of the events that were recorded.
    """

    says: str
    touches: int
    budget_s: float | None
    prepare: Callable[[Crew, Served], Finger]
    play: Callable[[Finger], list[str]]


def _at(role: str, path: str) -> Callable[[Crew, Served], Finger]:
    return lambda crew, served: Finger(crew.at(role, path), served)


def _names(found: list[Entry]) -> list[str]:
    return [type(each.event).__name__ for each in found]


def _draw(finger: Finger) -> list[str]:
    finger.tap("form[data-act=draw-dose] button.primary")
    new = finger.recorded()
    finger.shows(".said")
    return _names(new)


def _to_the_table(crew: Crew, served: Served) -> Finger:
    """Bring the draw table to a vial that is open, opening the next one if none is."""
    page = crew.at("preparer", "draw-table")
    if not page.locator("form[data-act=draw-dose] button.primary").count():
        press(page, served, "form[data-act=open-vial] button.primary")
        page = crew.at("preparer", "draw-table")
    return Finger(page, served)


def _to_an_empty_table(crew: Crew, served: Served) -> Finger:
    page = crew.at("preparer", "draw-table")
    while page.locator("form[data-act=draw-dose] button.primary").count():
        page.wait_for_timeout(DEAD_MS)
        before = len(entries(served))
        page.locator("form[data-act=draw-dose] button.primary").first.click()
        while len(entries(served)) == before:
            page.wait_for_timeout(50)
        page.goto(f"{served.address}/draw-table")
    return Finger(page, served)


def _open(finger: Finger) -> list[str]:
    finger.tap("form[data-act=open-vial] button.primary")
    new = finger.recorded()
    finger.shows("form[data-act=draw-dose] button.primary")
    return _names(new)


def _to_the_chair(crew: Crew, served: Served) -> Finger:
    [person] = people_to_come(served, 1)
    through_the_door(crew, served, person)
    _to_the_table(crew, served)
    syringe = drawn(crew, served)
    return Finger(crew.at("vaccinator", "chair"), served, (person, syringe))


def _give(finger: Finger) -> list[str]:
    person, syringe = finger.about
    finger.scan(person)
    finger.page.wait_for_url(f"**/dose/{person}")
    finger.loaded()
    finger.scan(syringe)
    finger.shows("form[data-act=give-dose] button.primary")
    finger.rest()
    finger.tap("form[data-act=give-dose] button.primary")
    new = finger.recorded(2)
    finger.page.wait_for_url("**/chair")
    return _names(new)


def _leave(finger: Finger) -> list[str]:
    finger.tap("form[data-act=left] button.primary")
    new = finger.recorded()
    finger.shows(".said")
    return _names(new)


def _stamped(finger: Finger) -> list[str]:
    new = finger.recorded()
    finger.page.wait_for_url("**/emergency/*")
    return _names(new)


def _call(finger: Finger) -> list[str]:
    finger.tap("header .urgent a")
    finger.page.wait_for_url("**/emergency-card")
    finger.loaded()
    finger.tap("form[data-act=stamp]:has([value=called]) button")
    return _stamped(finger)


def _epinephrine(finger: Finger) -> list[str]:
    finger.tap("button.primary.huge")
    return _stamped(finger)


def _carry(finger: Finger) -> list[str]:
    finger.tap("form[data-act=take-carry] button")
    return _names(finger.recorded())


def _to_the_desk(crew: Crew, served: Served) -> Finger:
    [person] = people_to_come(served, 1)
    return Finger(crew.at("registrar", "front-desk"), served, (person,))


def _take_in(finger: Finger) -> list[str]:
    [person] = finger.about
    finger.scan(person)
    finger.page.wait_for_url(f"**/arrival/{person}")
    finger.loaded()
    finger.tap("form[data-act=arrived] button.primary")
    finger.recorded()
    finger.rest()
    finger.tap("form[data-act=consent] button[value=yes]")
    return _names(finger.recorded(2))


def _to_the_questions(crew: Crew, served: Served) -> Finger:
    [person] = people_to_come(served, 1)
    return Finger(crew.at("screener", f"questions/{person}"), served)


def _ask(finger: Finger) -> list[str]:
    asked = int(finger.page.inner_text("main").split(" of ")[1].split()[0])
    for number in range(asked):
        finger.shows(f"text=/Question {number + 1} of/i")
        finger.loaded()
        finger.tap("button[name=reply][value=no]")
    finger.shows("form[data-act=answer-screening] button")
    finger.rest()
    finger.tap("form[data-act=answer-screening] button")
    new = finger.recorded()
    finger.taps -= asked  # one a question is counted by the question, not by the person
    return _names(new)


def _read(finger: Finger) -> list[str]:
    for name, value in (("now", "5.1"), ("lowest", "4.2"), ("highest", "6.3")):
        finger.page.fill(f"form[data-act=record-reading] [name={name}]", value)
    finger.page.select_option("form[data-act=record-reading] [name=unit]", "fridge-1")
    finger.page.check("form[data-act=record-reading] [name=reset]")
    finger.tap("form[data-act=record-reading] button.primary")
    return _names(finger.recorded())


def _hold(finger: Finger) -> list[str]:
    finger.tap("form[data-act=hold-vial] button")
    return _names(finger.recorded())


def _walk_up(finger: Finger) -> list[str]:
    finger.page.fill("#scan", f"Larch Testwick the {finger.before}th")
    finger.page.fill("#born", "1961-02-03")
    finger.tap("main button.primary")
    finger.shows("form[data-act=walk-up] button.primary")
    finger.loaded()
    finger.tap("form[data-act=walk-up] button.primary")
    return _names(finger.recorded(2))


def _to_the_last_vial(crew: Crew, served: Served) -> Finger:
    """Let the advice be compiled, as it is once on a machine; then begin anew."""
    page = crew.at("site lead", "last-vial?person=3&close=15:00&no_show=7")
    page.wait_for_selector("text=You decide", timeout=120_000)
    return Finger(crew.at("site lead", "last-vial"), served)


def _ask_last_vial(finger: Finger) -> list[str]:
    for name, value in (("person", "3"), ("no_show", "7"), ("close", "15:00")):
        finger.page.fill(f"main [name={name}]", value)
    finger.tap("main button.primary")
    finger.shows("text=You decide")
    return _names(finger.recorded(0))


def _count(finger: Finger) -> list[str]:
    finger.page.fill("form[data-act=count] [name=doses]", "40")
    finger.tap("form[data-act=count] button")
    return _names(finger.recorded())


def _to_the_plan(crew: Crew, served: Served) -> Finger:
    FilePins(served.folder / sites.KEYS).put(named("site lead"), PIN)
    page = crew.at("vaccine coordinator", "thaw-plan?no_show=7&service=95")
    page.wait_for_selector("form[data-act=sign-plan]", timeout=120_000)
    return Finger(page, served)


def _sign_plan(finger: Finger) -> list[str]:
    finger.page.fill("form[data-act=sign-plan] [name=_second]", named("site lead"))
    finger.page.fill("form[data-act=sign-plan] [name=_second_pin]", PIN)
    finger.tap("form[data-act=sign-plan] button.primary")
    return _names(finger.recorded())


TASKS = (
    Task("Dose drawn", 1, 2, _to_the_table, _draw),
    Task("Vial opened", 1, 10, _to_an_empty_table, _open),
    Task("Something wrong: vial held", 1, None, _to_the_table, _hold),
    Task("Dose given", 3, 6, _to_the_chair, _give),
    Task("Person may leave", 1, 3, _at("observer", "observation-area"), _leave),
    Task("Help called", 2, None, _at("observer", "observation-area"), _call),
    Task("Epinephrine stamped", 1, None, _at("observer", "emergency-card"), _epinephrine),
    Task("Carry picked up", 1, 2, _at("runner", "carries"), _carry),
    Task("Booked person taken in", 3, 20, _to_the_desk, _take_in),
    Task("Answers recorded, beside one tap a question", 1, 45, _to_the_questions, _ask),
    Task("Display read", 1, 30, _at("vaccine coordinator", "cold-store"), _read),
    Task("Walk-up taken in", 2, 60, _at("registrar", "walk-up"), _walk_up),
    Task("Last vial asked about", 1, 15, _to_the_last_vial, _ask_last_vial),
    Task("Doses of one unit counted", 1, 240, _at("vaccine coordinator", "close-out"), _count),
    Task("Thaw plan signed by two", 1, 300, _to_the_plan, _sign_plan),
)
"""Every task of section 1.2 that a page can be timed at."""

RECORDED = {
    "Dose drawn": ["DoseDrawn"],
    "Vial opened": ["VialPunctured"],
    "Something wrong: vial held": ["VialHeld"],
    "Dose given": ["DoseChecked", "DoseGiven"],
    "Person may leave": ["PersonLeft"],
    "Help called": ["MomentStamped"],
    "Epinephrine stamped": ["MomentStamped"],
    "Carry picked up": ["CarryTaken"],
    "Booked person taken in": ["PersonArrived", "ConsentAnswered"],
    "Answers recorded, beside one tap a question": ["ScreeningAnswered"],
    "Display read": ["ReadingTaken"],
    "Walk-up taken in": ["PersonBooked", "PersonArrived"],
    "Last vial asked about": [],
    "Doses of one unit counted": ["CountTaken"],
    "Thaw plan signed by two": ["PlanSigned"],
}
"""What each task leaves in the ledger; one that only asks leaves nothing."""
