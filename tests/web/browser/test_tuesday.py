"""
The afternoon of the demo's Tuesday in six browsers, from the door to the close-out.

A registrar, a screener, a preparer, a vaccinator, an observer and the two who close work at
their own screens; a second preparer's tablet works on its own for forty minutes with sixty
presses; the server is killed in between. The ledger has every act once, and the day balances.
"""

from collections import Counter
from uuid import uuid4

import pytest
from playwright.sync_api import Page
from tests.web.browser.alone import Table, entries, ready_vials
from tests.web.browser.conftest import TABLET, log_in, named
from tests.web.browser.test_working_alone import forty_minutes_of_work
from tests.web.served import Served

from thawline.adapters import sites
from thawline.adapters.pins import FilePins
from thawline.adapters.wiring import open_site
from thawline.app.in_force import in_force
from thawline.app.standings import all_stood
from thawline.base.instants import from_ms, local_date
from thawline.ledger.entries import Entry
from thawline.ledger.events import DoseGiven
from thawline.ledger.person_events import PersonArrived
from thawline.person.fold import PERSON
from thawline.vial.facts import was_opened
from thawline.vial.reckon import State
from thawline.vial.syringes import SYRINGE

pytestmark = pytest.mark.browser
PIN = "730164"
DEAD_MS = 500
"""Nothing can be pressed for a quarter of a second after a screen came; with room to spare."""
_SEND = """
async ([act, body]) => {
  const token = document.querySelector("[name=csrfmiddlewaretoken]").value;
  const answer = await fetch(`/api/act/${act}`, {
    method: "POST",
    headers: { "Content-Type": "application/json", "X-CSRFToken": token },
    body: JSON.stringify(body),
  });
  return [answer.status, await answer.text()];
}
"""


class Crew:
    """Everybody's browser, each logged in once."""

    def __init__(self, chromium, served: Served) -> None:
        self._chromium, self._served = chromium, served
        self._pages: dict[str, Page] = {}

    def at(self, role: str, path: str) -> Page:
        """Return the page of somebody of that role, on a screen."""
        if role not in self._pages or self._pages[role].is_closed():
            context = self._chromium.new_context(
                viewport=TABLET, ignore_https_errors=True, service_workers="block"
            )
            self._pages[role] = context.new_page()
            log_in(self._pages[role], self._served, named(role))
        page = self._pages[role]
        page.goto(f"{self._served.address}/{path}")
        if "/door" in page.url:  # a station locks itself after two minutes, as it should
            log_in(page, self._served, named(role))
            page.goto(f"{self._served.address}/{path}")
        return page

    def leave(self) -> None:
        """Close every browser."""
        for page in self._pages.values():
            page.context.close()


def people_to_come(served: Served, count: int) -> list[str]:
    """Return people with a place for dose 1 today who have not come."""
    site = open_site(served.home, "harrowmint")
    now = site.now()
    today = local_date(now, site.zone)
    with site.ledger.view() as view:
        states = list(view.all(PERSON))
        events = [each.event for each in view.entries()]
    came = {each.person for each in events if isinstance(each, PersonArrived)}
    return [
        code
        for code, state in states
        if code not in came
        and not state.doses
        and not state.told
        and not state.screenings
        and not state.checks
        for place in state.bookings[-1:]
        if place.dose_number == 1 and from_ms(place.slot_ms) > now
        if local_date(from_ms(place.slot_ms), site.zone) == today
    ][:count]


def press(page: Page, served: Served, selector: str) -> Entry:
    """Press a button and return the entry that came of it, once the site has answered."""
    before = len(entries(served))
    page.wait_for_timeout(DEAD_MS)
    page.locator(selector).first.click()
    for _ in range(100):
        now = entries(served)
        if len(now) > before:
            return now[-1]
        page.wait_for_timeout(100)
    raise AssertionError(
        f"nothing was recorded by {selector}: {page.inner_text('#live')[:400]}"
    )


def through_the_door(crew: Crew, served: Served, person: str) -> None:
    """Take a person in, ask for consent, ask the questions."""
    desk = crew.at("registrar", f"arrival/{person}")
    press(desk, served, "form[data-act=arrived] button.primary")
    desk = crew.at("registrar", f"arrival/{person}")
    press(desk, served, "form[data-act=consent] button[value=yes]")
    asked = crew.at("screener", f"questions/{person}")
    while asked.locator("button[name=reply][value=no]").count():
        asked.click("button[name=reply][value=no]")
        asked.wait_for_load_state()
    press(asked, served, "form[data-act=answer-screening] button")


def drawn(crew: Crew, served: Served) -> str:
    """Draw a dose at the table and return its syringe."""
    table = crew.at("preparer", "draw-table")
    entry = press(table, served, "form[data-act=draw-dose] button.primary")
    return entry.event.syringes[0]


def in_the_chair(crew: Crew, served: Served, person: str, syringe: str) -> None:
    """Check the dose before the needle and record that it was given."""
    chair = crew.at("vaccinator", f"dose/{person}")
    chair.fill("#scan", syringe)
    press(chair, served, "form[data-act=check-dose] button")
    chair = crew.at("vaccinator", f"dose/{person}")
    press(chair, served, "form[data-act=give-dose] button.primary")


def sent(page: Page, act: str, form: dict) -> None:
    """Press as a tablet does; it must be recorded."""
    body = {"id": str(uuid4()), "elapsed_ms": 0, "form": form}
    status, said = page.evaluate(_SEND, [act, body])
    assert status == 200, f"{act} {form}: {status} {said}"


def nothing_left_open(page: Page, served: Served) -> None:
    """Waste every drawn syringe and discard every opened vial, as at the end of a day."""
    site = open_site(served.home, "harrowmint")
    now = site.now()
    with site.ledger.view() as view:
        lying = [code for code, each in view.all(SYRINGE) if each.became == "drawn"]
        stands = list(all_stood(view, in_force(site, view, now), now))
    for syringe in lying:
        sent(page, "waste-syringe", {"syringe": syringe, "cause": "leftover"})
    for each in stands:
        if was_opened(each.vial) and each.reckoning.state is not State.DISCARDED:
            sent(page, "discard-vial", {"vial": each.code, "cause": "leftover"})


def kinds(found: list[Entry]) -> Counter[str]:
    return Counter(type(each.event).__name__ for each in found)


@pytest.fixture
def crew(chromium, served):
    found = Crew(chromium, served)
    yield found
    found.leave()


def test_an_afternoon_from_the_door_to_the_close_out(crew, served, tablet):
    people = people_to_come(served, 3)
    before = len(entries(served))
    for person in people[:2]:
        through_the_door(crew, served, person)
        in_the_chair(crew, served, person, drawn(crew, served))

    alone = Table(tablet, served, named("preparer"))
    vials = ready_vials(served)[:5]
    tablet.set_offline(True)
    alone.page.wait_for_selector("#alone-code")
    presses = forty_minutes_of_work(alone, vials)
    served.kill()
    served.start()
    alone.bring_site_along()
    tablet.set_offline(False)
    alone.all_sent()

    through_the_door(crew, served, people[2])
    in_the_chair(crew, served, people[2], drawn(crew, served))
    for person in people[:2]:  # their 15 minutes are over by now
        area = crew.at("observer", "observation-area")
        sent(area, "left", {"person": person})

    new = entries(served)[before:]
    assert len({each.id for each in new}) == len(new)
    assert kinds(new) == {
        "PersonArrived": 3,
        "ConsentAnswered": 3,
        "ScreeningAnswered": 3,
        "DoseDrawn": 3 + sum(act == "draw-dose" for (act, _), _ in presses),
        "VialPunctured": 5,
        "DoseChecked": 3,
        "DoseGiven": 3,
        "PersonLeft": 2,
    }
    given = [each.event.person for each in new if isinstance(each.event, DoseGiven)]
    assert given == people


def test_the_day_is_closed_by_two_people_and_balances(crew, served):
    coordinator, lead = named("vaccine coordinator"), named("site lead")
    FilePins(served.folder / sites.KEYS).put(lead, PIN)
    page = crew.at("vaccine coordinator", "close-out")
    assert "before the signatures" in page.inner_text("main")
    assert page.locator("form[data-act=sign-close-out]").count() == 0
    nothing_left_open(page, served)
    page = crew.at("vaccine coordinator", "close-out")
    assert "0 off" in page.inner_text(".sum")
    page.fill("form[data-act=sign-close-out] [name=_second]", lead)
    page.fill("form[data-act=sign-close-out] [name=_second_pin]", PIN)
    closed = press(page, served, "form[data-act=sign-close-out] button.primary")
    assert type(closed.event).__name__ == "DayClosed", page.inner_text("main")[:400]
    assert closed.by == coordinator
