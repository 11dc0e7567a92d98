"""The protocol: rules with items, the audit, both units, and what another version does."""

import pytest
from tests.cast import HAZEL
from tests.web.hall import text
from tests.web.people import ready

from thawline.base.roles import Role


@pytest.fixture
def browser(hall):
    """A trainer."""
    return hall.browser("Olive Loomstead", Role.TRAINER)


def test_every_rule_stands_in_words_with_its_item_and_source(hall, browser):
    page = text(hall.get(browser, "/protocol"))
    assert "version 2" in page
    assert "C4 Open: 6 h from opening" in page
    assert "[demo]" in page


def test_figures_stand_in_both_units(hall, browser):
    # 8 °C is 46 °F: 8 * 9/5 + 32 = 46.4, printed as 46 on the published sheet.
    page = text(hall.get(browser, "/protocol?units"))
    assert "46.4 °F" in page or "46 °F" in page


def test_a_version_with_a_stop_has_no_briefing_list_and_cannot_be_taken_into_use(hall, browser):
    page = hall.get(browser, "/protocol?with=example-10-v3-draft")
    assert "Stop: " in text(page)
    assert "It cannot be taken into use while a Stop stands." in text(page)
    assert "Brief again" not in text(page)
    main = page.content.decode().partition("<main")[2].partition("</main>")[0]
    assert 'class="primary"' not in main


def test_another_version_shows_what_changes_which_vials_move_and_whom_to_brief(hall, browser):
    # Version 4 has 10 h on the table instead of 12: from 06:35 until 16:35 instead of 18:35.
    [vial] = ready(hall)
    page = text(hall.get(browser, "/protocol?with=example-10-v4"))
    assert "C2 12 h 10 h shorter" in page
    assert "C4 6 h 7 h longer" in page
    assert "0 limits later, 1 earlier" in page
    assert f"{vial} 18:35 16:35" in page
    assert "Brief again before" in page


def test_everybody_with_a_role_may_read_the_rules(hall):
    assert hall.get(hall.browser(HAZEL, Role.PREPARER), "/protocol").status_code == 200
    assert hall.get(hall.browser(), "/protocol").status_code == 302
