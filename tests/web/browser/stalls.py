"""
A browser that stalls is ended, so that its test fails and says where; the next has another one.

The browser's library waits without end for some answers (a key pressed, a script's value), and
a browser on a busy machine may never give them. The site is not the browser: what the site does
not answer within a test's own waits fails as it always did, and is not asked again.
"""

import os
import signal
import subprocess
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from shutil import which
from threading import Timer

from playwright.sync_api import Browser, BrowserContext, Playwright

STALLED_S = 420
"""Longer than the longest test's own waits together; by then nobody answers any more."""
_FLAGS = (
    "--ignore-certificate-errors",  # else no service worker; only ever this machine's own
    *("--no-sandbox", "--disable-gpu", "--no-first-run", "--disable-sync"),
    *("--disable-background-networking", "--disable-component-update"),
)


class Chromium:
    """The system's chromium, started when first asked for and again where it was ended."""

    def __init__(self, playwright: Playwright) -> None:
        path = which("chromium") or which("chromium-browser")
        assert path, "no chromium: make check installs it"
        self._path, self._playwright = path, playwright
        self._browser: Browser | None = None

    def launch(self, args: list[str], home: Path | None = None) -> Browser:
        """Start one with flags of its own, for somebody whose home folder that is."""
        env = dict(os.environ) if home is None else {**os.environ, "HOME": str(home)}
        started = self._playwright.chromium
        return started.launch(executable_path=self._path, args=args, env=env)

    def new_context(self, **options: object) -> BrowserContext:
        """Return a tablet of its own, with nothing kept from others."""
        if self._browser is None or not self._browser.is_connected():
            self._browser = self.launch(flags())
        return self._browser.new_context(**options)  # type: ignore[arg-type]

    def close(self) -> None:
        """End it."""
        if self._browser is not None and self._browser.is_connected():
            self._browser.close()


def flags() -> list[str]:
    """Return how it is started: quiet, and known as this process's own."""
    return [*_FLAGS, _mark()]


@contextmanager
def ended_if_stalled(after_s: float = STALLED_S) -> Iterator[None]:
    """End this process's chromium if what is done here takes longer than seconds."""
    timer = Timer(after_s, _end)
    timer.daemon = True
    timer.start()
    try:
        yield
    finally:
        timer.cancel()


def _mark() -> str:
    """Return a flag that chromium passes over, by which its process is found."""
    return f"--of-the-tests-in-process={os.getpid()}"


def _end() -> None:
    found = subprocess.run(  # noqa: S603
        ["pgrep", "--full", "--", _mark()],  # noqa: S607  the system's own
        check=False,
        capture_output=True,
        text=True,
    )
    for number in found.stdout.split():
        try:
            os.kill(int(number), signal.SIGKILL)
        except ProcessLookupError:
            continue
