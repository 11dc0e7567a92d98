"""
The first page of each role in a real browser that has kept nothing: bytes over the wire.

Sizes are the browser's own (W3C, Resource Timing, `transferSize`: head and compressed body).
The bounds are our own: 150 KB, and a first view within a second on the machine of the tests.
"""

import sys
from collections import Counter
from statistics import median

import pytest
from tests.web.browser.conftest import TABLET, log_in, named

from thawline.base.roles import Role

pytestmark = pytest.mark.browser
MOST_BYTES = 150_000
MOST_MS = 1000
TIMES = 3
ROLES = [role for role in Role if role is not Role.AUDITOR]
"""Nobody of the demo's crew is an auditor; an auditor opens on the journal."""
_BYTES = """
() => ["navigation", "resource"].flatMap((kind) => performance.getEntriesByType(kind))
  .map((each) => [new URL(each.name).pathname, each.transferSize])
"""
_VIEW_MS = """
() => performance.getEntriesByName("first-contentful-paint").map((each) => each.startTime)[0]
"""


class First:
    """Opens somebody's own screen again and again, each time in a browser that kept nothing."""

    def __init__(self, chromium, served, role: Role) -> None:
        self._chromium, self._served = chromium, served
        context = self._context()
        page = context.new_page()
        log_in(page, served, named(role.value))
        self._state = context.storage_state()
        self.path = page.url.removeprefix(served.address)
        context.close()

    def _context(self, **more):
        return self._chromium.new_context(
            viewport=TABLET, ignore_https_errors=True, service_workers="block", **more
        )

    def opened(self) -> tuple[dict[str, int], float]:
        """Return the bytes of each file, and after how many milliseconds something was seen."""
        context = self._context(storage_state=self._state)
        page = context.new_page()
        page.goto(f"{self._served.address}{self.path}", wait_until="networkidle")
        assert page.url.endswith(self.path), page.url
        found, view_ms = page.evaluate(_BYTES), page.evaluate(_VIEW_MS)
        context.close()
        sizes = Counter()
        for name, size in found:  # a page that looks for news by itself is there twice
            sizes[name] += size
        return sizes, view_ms


@pytest.mark.parametrize("role", ROLES)
def test_the_first_page_of_a_role_comes_within_150_kb(role, hall_served, chromium):
    sizes, _ = First(chromium, hall_served, role).opened()
    assert "/static/web/site.css" in sizes
    assert any(name.endswith(".woff2") for name in sizes)
    assert min(sizes.values()) > 0, f"not all was fetched: {sizes}"
    assert sum(sizes.values()) <= MOST_BYTES, sizes


@pytest.mark.slow
def test_the_first_view_comes_within_a_second(hall_served, chromium, capsys):
    rows = []
    for role in ROLES:
        first = First(chromium, hall_served, role)
        runs = [first.opened() for _ in range(TIMES)]
        view_ms = median(ms for _, ms in runs)
        rows.append((role.value, first.path, sum(runs[0][0].values()), view_ms))
    table = [
        "| role | own screen | bytes | first view, ms, median of three |",
        "|---|---|---|---|",
        *(f"| {role} | `{path}` | {size} | {ms:.0f} |" for role, path, size, ms in rows),
    ]
    with capsys.disabled():
        sys.stdout.write("\n" + "\n".join(table) + "\n")
    assert max(view_ms for *_, view_ms in rows) <= MOST_MS
