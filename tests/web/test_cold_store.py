"""The cold store: every unit now, readings as they are typed, alerts that somebody takes on."""

from dataclasses import replace
from datetime import time

import pytest
from tests.cast import BRYONY, ROWAN, SORREL
from tests.web.hall import text

from thawline.adapters import sites
from thawline.app.excursions import exposure_of_unit
from thawline.app.receiving import Label, receive_frozen
from thawline.app.vials import take_out
from thawline.base.roles import Role
from thawline.ledger.alert_events import AlertAnswered, AlertRaised, TestCallAnswered
from thawline.ledger.entries import Act, Decision, Kind
from thawline.ledger.events import ReadingTaken, VialHeld
from thawline.receive.inspection import Arrival
from thawline.store.calls import Called
from thawline.store.nights import Hours
from thawline.store.units import Followed, StorageUnit
from thawline.web import here

FRIDGE = StorageUnit("fridge-1", "refrigerator", Followed.BY_HAND, title="Refrigerator 1")
FREEZER = StorageUnit("freezer-1", "frozen", Followed.LIVE, title="Freezer 1")
CHAIN = (
    Called("Rowan Thistle", "site lead", "555-0117"),
    Called("Bryony Testwick", "lead", "2"),
)
HELD = "held, do not use, do not discard"


@pytest.fixture
def store(hall, monkeypatch):
    """Return a hall with a refrigerator and a freezer, a call chain and a night."""
    night = Hours(time(18), time(6))
    hall.site = replace(hall.site, units=(FRIDGE, FREEZER), calls=CHAIN, night=night)
    told = (hall.site, sites.read_settings(hall.folder))
    monkeypatch.setattr(here, "_served", lambda _folder: told)
    return hall


def keeper(hall):
    return hall.browser(SORREL, Role.VACCINE_COORDINATOR)


def raised(hall, wall: str) -> None:
    """Record that the freezer was too warm and a call was due."""
    doing = hall.doing(wall=wall)
    event = AlertRaised(
        unit="freezer-1",
        cause="above",
        since_ms=1770120000000,
        level="stop",
        item="A2",
        temp_mc=-12000,
        low_mc=-50000,
        high_mc=-15000,
    )
    act = Act(
        id=doing.id,
        kind=Kind.FACT,
        by="the watch",
        occurred=doing.occurred,
        recorded_at=doing.recorded_at,
        zone="America/Chicago",
        command={"command": "t"},
    )
    hall.site.ledger.record(act, lambda _view: Decision(event))


def test_a_unit_that_nobody_read_is_not_known_and_says_how_it_would_be(store):
    page = text(store.get(keeper(store), "/cold-store"))
    assert "Refrigerator 1, read by hand ? not known" in page
    assert "Freezer 1, followed live" in page
    assert "band minus 50 to minus 15 °C" in page


def test_a_reading_is_recorded_as_it_was_typed_with_lowest_highest_and_reset(store):
    fields = {
        "unit": "fridge-1",
        "now": "5,2",
        "lowest": "3.9",
        "highest": "6",
        "reset": "true",
    }
    after = store.press(keeper(store), "record-reading", **fields, _next="/cold-store")
    read = store.entries()[-1].event
    assert isinstance(read, ReadingTaken)
    assert (read.temp_mc, read.min_mc, read.max_mc, read.reset) == (5200, 3900, 6000, True)
    assert "5.2 °C read 12:00" in text(after)


def test_a_true_minus_sign_is_a_minus(store):
    store.press(keeper(store), "record-reading", unit="freezer-1", now="\N{MINUS SIGN}18.5")
    assert store.entries()[-1].event.temp_mc == -18500


@pytest.mark.parametrize("typed", ["warm", "", "61", "-101"])
def test_what_is_no_temperature_is_not_recorded(store, typed):
    before = len(store.entries())
    answer = store.press(keeper(store), "record-reading", unit="fridge-1", now=typed)
    assert (answer.status_code, len(store.entries())) == (422, before)


def test_a_reading_out_of_band_says_the_whole_caution(store):
    fields = {"unit": "fridge-1", "now": "9.1"}
    after = text(store.press(keeper(store), "record-reading", **fields, _next="/cold-store"))
    assert "9.1 °C now, outside 2 to 8 °C" in after
    assert HELD in after
    assert "keep cold and apart; call" in after


def test_what_was_inside_while_it_was_out_is_held_in_one_press(store):
    label, doing = Label("ZZ-1041", "2026-08"), store.doing
    arrival = Arrival(9, 9, None)
    receive_frozen(store.site, doing(wall="01:00"), label, "freezer-1", arrival)
    out = take_out(store.site, doing(wall="04:00"), "ZZ-1041", "freezer-1", 2, "fridge")
    browser = keeper(store)
    page = store.press(
        browser, "record-reading", unit="fridge-1", now="9.1", _next="/cold-store"
    )
    assert "Stop: not held by the record: 2 vials with codes" in text(page)
    why = "was in fridge-1"
    after = store.press(browser, "hold-exposed", unit="fridge-1", _why=why, _next="/cold-store")
    held = store.entries()[-1].event
    assert isinstance(held, VialHeld)
    assert set(held.vials) == set(out.event.vials)
    assert "not held by the record" not in text(after)
    found = exposure_of_unit(store.site, "fridge-1", None, store.site.now(), store.site.now())
    assert len(found.excursions) == 1


def test_the_call_chain_is_printed_and_nobody_is_called_by_the_program(store):
    raised(store, "11:50")
    page = text(store.get(keeper(store), "/cold-store"))
    assert "You call Rowan T., site lead, 555-0117" in page
    assert "Not answered by" in page
    assert HELD in page


def test_somebody_takes_an_alert_on_and_the_vials_stay_held(store):
    raised(store, "11:50")
    fields = {"unit": "freezer-1", "takes": "true", "_why": "on my way", "_next": "/cold-store"}
    after = text(store.press(store.browser(ROWAN, Role.SITE_LEAD), "answer-alert", **fields))
    answered = store.entries()[-1].event
    assert isinstance(answered, AlertAnswered)
    assert (answered.answered_by, answered.takes) == (ROWAN, True)
    assert "Taken on. The vials stay held until two people release them." in after


def test_a_night_is_not_covered_until_a_test_call_was_answered(store):
    browser = keeper(store)
    assert "NOT COVERED" in text(store.get(browser, "/cold-store"))
    after = store.press(browser, "answer-test-call", answered_by=BRYONY, _next="/cold-store")
    assert isinstance(store.entries()[-1].event, TestCallAnswered)
    assert f"{BRYONY} answered a test call 12:00 and is there until 06:00" in text(after)


def test_the_picture_shows_hand_readings_and_what_is_not_known(store):
    browser = keeper(store)
    store.press(browser, "record-reading", unit="fridge-1", now="5")
    page = store.get(browser, "/cold-store").content.decode()
    assert "Refrigerator 1, harrowmint" in page
    assert "Not known" in page


def test_a_registrar_does_not_see_the_cold_store(store):
    assert store.get(store.browser(ROWAN, Role.REGISTRAR), "/cold-store").status_code == 403
