"""
A real server on this machine's own address and a real browser, for what only script can do.

The site is the demo's hall at 13:37 of its Tuesday, made once and copied for each server. The
browser is the system's chromium; where there is none the tests fail, they are never skipped.
"""

import os
import socket
import subprocess
import sys
import time
from collections.abc import Iterator
from contextlib import nullcontext
from pathlib import Path
from shutil import copytree

import pytest
from playwright.sync_api import BrowserContext, Page, sync_playwright
from tests.web.browser.stalls import Chromium, ended_if_stalled
from tests.web.served import PASSPHRASE, SEED, Served, build_hall, make_certificate

RUN = "import sys; from thawline.cli import main; sys.exit(main())"
TABLET = {"width": 1180, "height": 820}
PHONE = {"width": 390, "height": 844}


def log_in(page: Page, served: Served, name: str, station: str = "") -> None:
    """Come in by the door."""
    page.goto(f"{served.address}/door")
    page.fill("#name", name)
    page.fill("#passphrase", PASSPHRASE)
    if station:
        page.fill("#station", station)
    page.click("button.primary")
    page.wait_for_load_state()


def named(role: str) -> str:
    """Return the first of a role in the demo's crew."""
    from thawline.demo.staff import staff  # noqa: PLC0415  after the settings

    of_role = [e.called for e in staff(SEED) if e.role == role and e.place in _PLACES]
    return of_role[0]


_PLACES = ("harrowmint", "unit")


@pytest.fixture(scope="session")
def tls(tmp_path_factory) -> tuple[Path, Path]:
    """A certificate for this machine alone, for these tests alone."""
    return make_certificate(tmp_path_factory.mktemp("tls"))


@pytest.fixture(scope="session")
def noon(tmp_path_factory) -> Path:
    """The demo's hall at 13:37, with everybody of its crew able to come in."""
    home = tmp_path_factory.mktemp("noon") / "home"
    build_hall(home)
    return home


@pytest.fixture
def served(noon, tls, tmp_path) -> Iterator[Served]:
    """The hall, served."""
    copytree(noon, tmp_path / "home")
    found = Served(tmp_path / "home", tls)
    found.start()
    yield found
    found.kill()


@pytest.fixture(scope="module")
def hall_served(noon, tls, tmp_path_factory) -> Iterator[Served]:
    """The hall, served once for all tests of a module that only look."""
    home = tmp_path_factory.mktemp("looked-at") / "home"
    copytree(noon, home)
    found = Served(home, tls)
    found.start()
    yield found
    found.kill()


@pytest.fixture
def address(hall) -> Iterator[str]:
    """The address at which the small hall is served, with an authority of its own."""
    with socket.socket() as asked:
        asked.bind(("127.0.0.1", 0))
        port = asked.getsockname()[1]
    home = str(hall.folder.parent.parent)
    words = [sys.executable, "-c", RUN, "serve", "--home", home, "--port", str(port)]
    said = subprocess.DEVNULL
    server = subprocess.Popen(words, stdout=said, stderr=said, env=dict(os.environ))  # noqa: S603
    try:
        _wait_for(port)
        yield f"https://localhost:{port}"
    finally:
        server.terminate()
        server.wait(timeout=30)


def _wait_for(port: int) -> None:
    for _ in range(240):
        with socket.socket() as asked:
            if asked.connect_ex(("127.0.0.1", port)) == 0:
                return
        time.sleep(0.25)
    raise AssertionError("nobody serves")


@pytest.fixture(scope="session")
def chromium() -> Iterator[Chromium]:
    """The system's chromium; AssertionError where there is none."""
    # The browser's library keeps a loop running in this thread; tests ask Django outside it.
    os.environ["DJANGO_ALLOW_ASYNC_UNSAFE"] = "true"
    with sync_playwright() as playwright:
        started = Chromium(playwright)
        yield started
        started.close()


@pytest.fixture(autouse=True)
def _no_stall(request) -> Iterator[None]:
    with nullcontext() if request.node.get_closest_marker("slow") else ended_if_stalled():
        yield


@pytest.fixture
def tablet(chromium) -> Iterator[BrowserContext]:
    """A tablet of its own, that trusts the site."""
    context = chromium.new_context(viewport=TABLET, ignore_https_errors=True)
    yield context
    context.close()
