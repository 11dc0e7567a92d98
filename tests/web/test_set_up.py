"""Set-up: the site as it is served, and where it is changed."""

from dataclasses import replace
from decimal import Decimal

from tests.web.hall import text

from thawline.adapters import sites
from thawline.base.roles import Role
from thawline.store.units import Followed, StorageUnit
from thawline.web import here

FREEZER = StorageUnit("freezer-2", "frozen", Followed.LIVE, Decimal("0.5"), "Freezer 2")
FRIDGE = StorageUnit("fridge-1", "refrigerator", Followed.BY_HAND)


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
