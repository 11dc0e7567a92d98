"""A draw table in a real browser, whose clock and network the test moves."""

import time
from dataclasses import dataclass

from playwright.sync_api import BrowserContext, Page
from tests.web.browser.conftest import log_in, named
from tests.web.served import Served

from thawline.adapters import rehearsal
from thawline.adapters.wiring import open_site
from thawline.app.in_force import in_force
from thawline.app.standings import all_stood
from thawline.base.instants import from_ms
from thawline.ledger.entries import Entry
from thawline.vial.reckon import State

_READY = (
    "navigator.serviceWorker.controller !== null",
    "localStorage.getItem('thawline.offset') !== null",
    "caches.open('thawline-pages').then((k) => k.match('/draw-table')).then(Boolean)",
)
DEAD_MS = 300
"""A quarter of a second after a page came nothing can be pressed, with room to spare."""
_NOW = "Math.round(Date.now() + Number(localStorage.getItem('thawline.offset')))"


@dataclass(frozen=True, slots=True)
class Tap:
    """What was pressed, and between which two instants of the site."""

    says: str
    lo_ms: int
    hi_ms: int


class Table:
    """One tablet at a draw table."""

    def __init__(self, context: BrowserContext, served: Served, who: str = "") -> None:
        self.context = context
        self.served = served
        self.who = who or named("preparer")
        self.page: Page = context.new_page()
        self.page.clock.install()
        log_in(self.page, served, self.who)
        self.page.goto(f"{served.address}/draw-table")
        for what in _READY:
            self.until(what)

    def until(self, what: str, within_s: int = 30) -> None:
        """Wait until something is so; the page's own policy lets no text be run in it."""
        for _ in range(within_s * 10):
            if self.page.evaluate(what):
                return
            self.page.wait_for_timeout(100)
        raise AssertionError(f"not within {within_s} s: {what}")

    def site_ms(self) -> int:
        """Return the site's time as this tablet reckons it."""
        found: int = self.page.evaluate(_NOW)
        return found

    def tap(self, selector: str) -> Tap:
        """Press a button, and wait until the press is kept or answered."""
        button = self.page.locator(selector).first
        self.page.wait_for_timeout(DEAD_MS)
        before = self.newest()
        lo = self.site_ms()
        button.click()
        self.until(f"Number(localStorage.getItem('thawline.newest') ?? 0) > {before}")
        self.page.wait_for_timeout(DEAD_MS)
        return Tap(selector, lo, self.site_ms())

    def newest(self) -> int:
        """Return the number of the newest entry that the tablet ever kept."""
        found: int = self.page.evaluate("Number(localStorage.getItem('thawline.newest') ?? 0)")
        return found

    def waiting(self) -> int:
        """Return how many entries the tablet keeps."""
        found: int = self.page.evaluate(
            "import('/static/web/kept.js').then((kept) => kept.all()).then((all) => all.length)"
        )
        return found

    def work_on(self, vial: str) -> None:
        """Take another vial by the code on its flag, while the server is away."""
        self.page.fill("#alone-code", vial)
        self.page.click("#alone-table form button")

    def pass_time(self, seconds: int) -> None:
        """Move the tablet's clock on."""
        self.page.clock.fast_forward(seconds * 1000)

    def bring_site_along(self) -> None:
        """Move the site's present to where the tablet's clock has come."""
        rehearsal.move(self.served.folder, from_ms(self.site_ms()))

    def site_locks_it(self) -> None:
        """Have the site lock this screen, as it does two minutes after the last touch."""
        word = self.page.locator("#unlock [name=csrfmiddlewaretoken]").get_attribute("value")
        said = self.context.request.post(
            f"{self.served.address}/lock",
            headers={"X-CSRFToken": word or "", "Referer": self.served.address},
        )
        assert said.ok, said.status

    def all_sent(self, within_s: int = 120) -> None:
        """Wait until the tablet keeps nothing any more."""
        self.at_most_waiting(0, within_s)

    def at_most_waiting(self, most: int, within_s: int = 120) -> None:
        """Wait until so few entries are kept; after two minutes alone the screen is locked."""
        until = time.monotonic() + within_s  # by this machine's clock, not the page's moved one
        while time.monotonic() < until:
            if "/door" in self.page.url:
                self.come_back()
            if self.waiting() <= most:
                return
            self.page.wait_for_timeout(200)
        raise AssertionError(f"{self.waiting()} entries still wait after {within_s} s")

    def come_back(self) -> None:
        """Open the screen that the site locked while it was not heard."""
        log_in(self.page, self.served, self.who)
        self.page.goto(f"{self.served.address}/draw-table")


def entries(served: Served) -> list[Entry]:
    """Return the ledger as written."""
    site = open_site(served.home, "harrowmint")
    with site.ledger.view() as view:
        return list(view.entries())


def ready_vials(served: Served) -> list[str]:
    """Return the vials on the table that may be opened."""
    site = open_site(served.home, "harrowmint")
    at = site.now()
    with site.ledger.view() as view:
        stands = list(all_stood(view, in_force(site, view, at), at))
    return [each.code for each in stands if each.reckoning.state is State.READY]
