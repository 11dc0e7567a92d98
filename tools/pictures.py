"""
Takes the pictures of every screen for docs/pictures, from the demo's hall at 13:37.

    python -m tools.pictures [--whole] [--of SCREEN] [--language CODE] [--home HOME] [FOLDER]

Builds the hall, serves it on this machine, comes in as the role that works at each screen, and
takes its first view on a tablet and on a phone; the screens where gloves or weather count also
in sun and by lamp, and two in Spanish. `--language` takes them all in that language; `--whole`
takes each page to its foot, for whoever looks it over; `--home` keeps the hall for another run.
"""

import argparse
import base64
import os
import tempfile
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from datetime import UTC, datetime
from pathlib import Path
from shutil import which

import numpy as np
from playwright.sync_api import Browser, Page, sync_playwright
from tests.web.served import PASSPHRASE, SEED, Served, build_hall, make_certificate
from tools.small_png import small_png

from thawline.adapters import rehearsal
from thawline.base.instants import instant
from thawline.demo.staff import staff
from thawline.web.languages.catalogue import ENGLISH

PICTURES = Path(__file__).parents[1] / "docs" / "pictures"
SIZES = {"": {"width": 1180, "height": 820}, "-phone": {"width": 390, "height": 844}}
IN_SPANISH = ("today", "draw-table")
THREE_LIGHTS = ("today", "draw-table", "chair", "dose", "observation-area")
AT = instant(datetime(2026, 2, 3, 19, 37, 5, tzinfo=UTC))  # 13:37 at Harrowmint
ROLES = {
    "registrar": ("front-desk", "arrival", "walk-up", "call-sheet", "second-doses"),
    "screener": ("screening", "questions", "screening-card"),
    "preparer": ("draw-table", "scanner-test", "command-cards"),
    "vaccinator": ("chair", "dose", "needle-stick"),
    "observer": ("observation-area", "emergency-card", "emergency"),
    "runner": ("carries",),
    "site lead": (*("today", "last-vial", "standby-list", "handover", "replay", "paper-pack"),),
    "vaccine coordinator": (*("vials", "vial", "lot", "cold-store", "thaw-plan", "close-out"),),
    "clinical lead": (
        *("reactions", "dose-error", "break-glass", "journal", "entry", "who-looked"),
    ),
    "trainer": ("team", "protocol"),
    "technical admin": ("set-up",),
}
"""Who is shown at which screen."""
STATIONS = {"preparer": "table 1", "vaccinator": "chair 1"}
ABOUT = {
    "last-vial": "last-vial?person=3",
    "thaw-plan": "thaw-plan?no_show=20",
    "vial": "vial/XV02W",
    "lot": "lot/ZZ-1041",
    "arrival": "arrival/DEMO-001929",
    "questions": "questions/DEMO-001929",
    "dose": "dose/DEMO-002336",
    "dose-error": "dose-error/DEMO-002336",
    "entry": "entry/1",
    "emergency": "emergency/H4K7",
}
"""What screens about one thing, or that answer a question, are asked here."""
MOST_PX = 3200
"""A page that is longer is cut there."""
WORKED_OUT_WITHIN_MS = 180_000
_SETTLED = """() => !document.querySelector("main")?.innerText.includes("Working it out")"""
_SIZE = "[document.documentElement.scrollWidth, document.documentElement.scrollHeight]"
_PIXELS = """async (png) => {
  const bytes = Uint8Array.from(atob(png), (each) => each.charCodeAt(0));
  const image = await createImageBitmap(new Blob([bytes], { type: "image/png" }));
  const canvas = new OffscreenCanvas(image.width, image.height);
  const ink = canvas.getContext("2d");
  ink.drawImage(image, 0, 0);
  const { data } = ink.getImageData(0, 0, image.width, image.height);
  let text = "";
  for (let at = 0; at < data.length; at += 32768) {
    text += String.fromCharCode(...data.subarray(at, at + 32768));
  }
  return [image.height, image.width, btoa(text)];
}"""


@dataclass(frozen=True, slots=True)
class View:
    """One picture to take."""

    screen: str
    role: str
    light: str
    size: str
    language: str = ENGLISH

    @property
    def file(self) -> str:
        """Return the name of its file."""
        light = "" if self.light == "daylight" else f"-{self.light}"
        language = "" if self.language == ENGLISH else f"-{self.language}"
        return f"{self.screen}{light}{language}{self.size}.png"


def views(only: tuple[str, ...] = (), language: str = ENGLISH) -> Iterator[View]:
    """Yield every picture, or those of some screens; those of one role stand together."""
    for role, screens in ROLES.items():
        for screen in screens:
            lights = ("daylight", "sun", "lamp") if screen in THREE_LIGHTS else ("daylight",)
            if not only or screen in only:
                yield from (
                    View(screen, role, light, size, language)
                    for light in lights
                    for size in SIZES
                )
            if language == ENGLISH and screen in IN_SPANISH and (not only or screen in only):
                yield View(screen, role, "daylight", "", "es")


class Camera:
    """A browser that stands at the hall's screens."""

    def __init__(self, browser: Browser, served: Served, *, whole: bool) -> None:
        self._browser = browser
        self._served = served
        self._whole = whole
        self._pages: dict[str, Page] = {}
        self._bare = browser.new_page()

    def take(self, view: View) -> bytes:
        """Return the picture of a view, at 13:37."""
        page = self._at(view)
        page.evaluate("document.fonts.ready.then(() => true)")
        page.wait_for_function(_SETTLED, timeout=WORKED_OUT_WITHIN_MS)
        page.wait_for_timeout(300)
        taken = self._shot(page)
        text = base64.b64encode(taken).decode()
        height, width, data = self._bare.evaluate(_PIXELS, text)
        pixels = np.frombuffer(base64.b64decode(data), dtype=np.uint8)
        return small_png(pixels.reshape(height, width, 4)[:, :, :3])

    def _shot(self, page: Page) -> bytes:
        if not self._whole:
            return page.screenshot(animations="disabled")
        wide, high = page.evaluate(_SIZE)
        clip = {"x": 0, "y": 0, "width": wide, "height": min(high, MOST_PX)}
        return page.screenshot(full_page=True, clip=clip, animations="disabled")

    def _at(self, view: View) -> Page:
        page = self._pages.get(view.role) or self._come_in(view.role)
        for name, value in (("theme", view.light), ("language", view.language)):
            cookie = {"name": name, "value": value, "url": self._served.address}
            page.context.add_cookies([cookie])
        page.set_viewport_size(SIZES[view.size])
        rehearsal.move(self._served.folder, AT)
        page.goto(f"{self._served.address}/{ABOUT.get(view.screen, view.screen)}")
        if "/door" in page.url or page.locator("#lock:visible").count():
            page.context.close()
            del self._pages[view.role]
            return self._at(view)
        return page

    def _come_in(self, role: str) -> Page:
        context = self._browser.new_context(
            ignore_https_errors=True, service_workers="block", reduced_motion="reduce"
        )
        page = context.new_page()
        page.goto(f"{self._served.address}/door")
        page.fill("#name", _named(role))
        page.fill("#passphrase", PASSPHRASE)
        page.fill("#station", STATIONS.get(role, ""))
        page.click("button.primary")
        page.wait_for_load_state()
        self._pages[role] = page
        return page


def _named(role: str) -> str:
    crew = (each for each in staff(SEED) if each.place in ("harrowmint", "unit"))
    return next(each.called for each in crew if each.role == role)


@contextmanager
def hall(home: Path) -> Iterator[Served]:
    """Serve the hall, which is built where it does not stand yet."""
    if not home.exists():
        build_hall(home)
    with tempfile.TemporaryDirectory() as folder:
        served = Served(home, make_certificate(Path(folder)))
        served.start()
        try:
            yield served
        finally:
            served.kill()


def main() -> None:
    """Take the pictures that were asked for."""
    asked = argparse.ArgumentParser(description=__doc__)
    asked.add_argument("folder", type=Path, nargs="?", default=PICTURES)
    asked.add_argument("--whole", action="store_true")
    asked.add_argument("--of", action="append", default=[])
    asked.add_argument("--home", type=Path)
    asked.add_argument("--language", default=ENGLISH)
    words = asked.parse_args()
    words.folder.mkdir(parents=True, exist_ok=True)
    with tempfile.TemporaryDirectory() as folder:
        home = words.home or Path(folder) / "home"
        with hall(home) as served, chromium() as browser:
            camera = Camera(browser, served, whole=words.whole)
            for view in views(tuple(words.of), words.language):
                (words.folder / view.file).write_bytes(camera.take(view))


@contextmanager
def chromium() -> Iterator[Browser]:
    """Run the system's chromium."""
    path = which("chromium") or which("chromium-browser")
    with sync_playwright() as playwright:
        flags = ["--no-sandbox", "--disable-gpu"]
        browser = playwright.chromium.launch(executable_path=path, args=flags)
        yield browser
        browser.close()


if __name__ == "__main__":
    os.environ.setdefault("DJANGO_SETTINGS_MODULE", "thawline.web.settings")
    main()
