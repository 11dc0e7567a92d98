"""
The site's own authority is enough for a browser: no warning is clicked away or switched off.

Only here chromium runs without the flag that lets every certificate pass: what it trusts is its
own store, into which a person put the site's authority once.
"""

import subprocess
import sys
from collections.abc import Iterator
from pathlib import Path

import pytest
from playwright.sync_api import BrowserContext, Error
from tests.cast import SORREL
from tests.web.browser import trusted
from tests.web.browser.stalls import Chromium, flags
from tests.web.hall import PASSPHRASE

from thawline.base.roles import Role

pytestmark = pytest.mark.browser


def _contexts(chromium: Chromium, home: Path) -> Iterator[BrowserContext]:
    """Yield a browser of somebody whose home folder that is, and end it."""
    browser = chromium.launch([flag for flag in flags() if "certificate" not in flag], home)
    yield browser.new_context()
    browser.close()


@pytest.fixture
def stranger(chromium, tmp_path):
    """A tablet that trusts nobody."""
    yield from _contexts(chromium, tmp_path / "stranger")


@pytest.fixture
def own(hall, address, chromium, tmp_path):  # noqa: ARG001  the authority is there once it serves
    """A tablet that trusts the site's authority."""
    home = tmp_path / "own"
    file = hall.folder / "keys" / "authority.pem"
    words = [sys.executable, trusted.__file__, str(home), str(file)]
    subprocess.run(words, check=True)  # noqa: S603  our own script
    yield from _contexts(chromium, home)


def test_a_tablet_that_trusts_nobody_does_not_open_the_site(stranger, address):
    page = stranger.new_page()
    with pytest.raises(Error, match="ERR_CERT_AUTHORITY_INVALID"):
        page.goto(f"{address}/door")


def test_a_tablet_that_trusts_the_authority_keeps_its_station_for_when_the_server_is_away(
    hall, own, address
):
    hall.employ(SORREL, Role.PREPARER)
    page = own.new_page()
    page.goto(f"{address}/door")
    page.fill("#name", SORREL)
    page.fill("#passphrase", PASSPHRASE)
    page.get_by_role("button", name="Come in").click()
    page.wait_for_url("**/draw-table")
    for _ in range(300):
        if page.evaluate("navigator.serviceWorker.controller !== null"):
            break
        page.wait_for_timeout(100)
    page.goto(f"{address}/draw-table")  # through the worker, which keeps it
    page.wait_for_timeout(1000)
    own.set_offline(True)
    page.goto(f"{address}/draw-table")
    assert page.get_attribute("body", "data-kept")
    assert "Working on its own" in page.inner_text("#alone")
