"""Set-up: the site as it is served, and where it is changed."""

from dataclasses import replace
from datetime import time
from decimal import Decimal

import pytest
from tests.cast import BRYONY, PINS, SORREL
from tests.web.hall import text
from tests.web.people import events

from thawline.adapters import sites
from thawline.base.roles import Role
from thawline.ledger.events import Noted
from thawline.store.nights import Hours
from thawline.store.units import Followed, StorageUnit
from thawline.web import here

FREEZER = StorageUnit("freezer-2", "frozen", Followed.LIVE, Decimal("0.5"), "Freezer 2")
FRIDGE = StorageUnit("fridge-1", "refrigerator", Followed.BY_HAND)
PIN = PINS[BRYONY]


def served(hall, monkeypatch, *units, **more):
    """Serve the hall with these units and settings."""
    site = replace(hall.site, units=units)
    settings = replace(sites.read_settings(hall.folder), units=units, **more)
    monkeypatch.setattr(here, "_served", lambda _folder: (site, settings))
    return text(hall.get(hall.browser("The Admin", Role.TECHNICAL_ADMIN), "/set-up"))


def test_each_unit_is_shown_with_how_its_temperature_is_known(hall, monkeypatch):
    page = served(hall, monkeypatch, FREEZER, FRIDGE)
    assert "Freezer 2 freezer-2 freezer followed live 0.5 °C" in page
    assert "fridge-1 fridge-1 refrigerator read by hand as the protocol says" in page
    assert "time zone America/Chicago" in page


def test_a_site_without_units_or_call_list_says_so(hall, monkeypatch):
    page = served(hall, monkeypatch)
    assert "No unit is named: freezer-1 and fridge-1 are taken." in page
    assert "Nobody is on the call list for the night." in page
    assert "What the desk did not record refuses no dose here." in page


def test_what_a_site_refuses_a_dose_without_is_named(hall, monkeypatch):
    page = served(hall, monkeypatch, refuses_without=frozenset({"consent"}))
    assert "No dose without: consent." in page


@pytest.fixture
def admin(hall):
    """The browser of a technical admin who has a PIN."""
    return hall.browser(BRYONY, Role.TECHNICAL_ADMIN)


def named(hall, admin, **more):
    """Name a refrigerator at Set-up; return what the page says then."""
    asked = {"unit": "fridge-2", "band": "refrigerator", "followed": "by-hand", "title": ""}
    return text(hall.press(admin, "name-unit", **{**asked, **more}, _pin=PIN))


def test_a_unit_that_was_named_is_there_at_once_and_after_the_next_start(hall, admin):
    named(hall, admin, title="Blue fridge", accuracy_c="0,5")
    page = text(hall.get(admin, "/set-up"))
    assert "Blue fridge fridge-2 refrigerator read by hand 0.5 °C" in page
    kept = StorageUnit(
        "fridge-2", "refrigerator", Followed.BY_HAND, Decimal("0.5"), "Blue fridge"
    )
    assert here.here().units == (kept,)
    assert sites.read_settings(hall.folder).units == (kept,)


def test_the_journal_says_which_unit_was_named_and_how_it_is_kept(hall, admin):
    named(hall, admin)
    assert events(hall, Noted)[-1].says == "fridge-2: kept as refrigerator, read by hand"


@pytest.mark.parametrize(
    ("wrong", "says"),
    [
        ({"unit": "Fridge 2"}, "Small letters, digits and hyphens"),
        ({"band": "fridge"}, "the protocol has no band"),
        ({"followed": "guessed"}, "live, by-hand, at-download"),
        ({"accuracy_c": "half"}, "as in 0.5"),
        ({"accuracy_c": "-1"}, "not an accuracy"),
    ],
)
def test_what_no_unit_can_be_is_refused_with_what_to_write_and_nothing_is_kept(
    hall, admin, wrong, says
):
    before = (hall.folder / sites.SETTINGS).read_text()
    assert says in named(hall, admin, **wrong)
    assert (hall.folder / sites.SETTINGS).read_text() == before
    assert here.here().units == ()


def test_a_unit_is_named_with_the_pin_again_and_by_nobody_else(hall, admin):
    asked = {"unit": "fridge-2", "band": "refrigerator", "followed": "by-hand"}
    assert hall.send(admin, "name-unit", asked).status_code == 403
    runner = hall.browser(SORREL, Role.RUNNER)
    assert hall.send(runner, "name-unit", asked, pin=PINS[SORREL]).status_code == 403
    assert here.here().units == ()


def test_the_call_list_is_kept_in_its_order_with_the_night(hall, admin):
    lines = (
        "Sorrel Kettlewick, vaccine coordinator, 555-0101\n\nRowan Thistle, site lead, 555-0102"
    )
    hall.press(admin, "name-calls", people=lines, starts="18:00", ends="06:00", _pin=PIN)
    assert [each.name for each in here.here().calls] == ["Sorrel Kettlewick", "Rowan Thistle"]
    assert here.here().night == Hours(time(18), time(6))
    assert "2 people are on the call list for the night." in text(hall.get(admin, "/set-up"))


@pytest.mark.parametrize(
    ("sent", "says"),
    [
        ({"people": "Rowan Thistle, 555-0102"}, "One person a line"),
        ({"people": "Rowan Thistle, janitor, 555-0102"}, "not a role"),
        ({"people": "", "starts": "18:00", "ends": ""}, "a night needs two times"),
        ({"people": "", "starts": "18:00", "ends": "25:00"}, "time"),
    ],
)
def test_a_call_list_nobody_could_call_by_is_refused(hall, admin, sent, says):
    assert says in text(hall.press(admin, "name-calls", **sent, _pin=PIN))
    assert here.here().calls == ()
