"""A browser that never answers costs one test its time; the next one has another browser."""

import pytest
from playwright.sync_api import Error
from tests.web.browser.stalls import ended_if_stalled

pytestmark = pytest.mark.browser
NEVER = "() => new Promise(() => {})"


def test_what_a_browser_never_answers_fails_and_the_next_page_comes(chromium):
    page = chromium.new_context().new_page()
    with ended_if_stalled(after_s=1), pytest.raises(Error, match="closed"):
        page.evaluate(NEVER)
    assert page.is_closed()
    context = chromium.new_context()
    assert context.new_page().evaluate("1 + 1") == 2
    context.close()
