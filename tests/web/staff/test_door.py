"""Who comes in and how: passphrases anywhere, PINs and badges on the site's own tablets."""

import pytest
from tests.cast import HAZEL, PINS, ROWAN, SORREL
from tests.web.hall import PASSPHRASE, text

from thawline.base.roles import Role
from thawline.web.staff import misses
from thawline.web.staff.models import Staff


@pytest.fixture
def crew(hall):
    """A preparer and a runner with PINs, and one enrolled tablet at table 1."""
    hall.employ(SORREL, Role.PREPARER)
    hall.employ(ROWAN, Role.RUNNER)
    return hall


def test_a_pin_lets_in_on_an_enrolled_tablet_and_its_station_is_known(crew):
    tablet = crew.tablet(station="table-1")
    came = crew.come_in(tablet, SORREL, pin=PINS[SORREL])
    assert came.status_code == 302
    assert "table-1" in text(crew.get(tablet, "/draw-table"))


def test_a_pin_never_lets_in_elsewhere(crew):
    stranger = crew.browser()
    came = crew.come_in(stranger, SORREL, pin=PINS[SORREL])
    assert came.status_code == 403
    assert "A PIN works on a tablet of the site only" in text(came)
    assert crew.get(stranger, "/draw-table").status_code == 302


def test_a_badge_alone_switches_in_one_step_once_the_pin_was_typed_this_shift(crew):
    tablet = crew.tablet()
    crew.come_in(tablet, SORREL, pin=PINS[SORREL])
    crew.come_in(tablet, ROWAN, pin=PINS[ROWAN])
    assert crew.come_in(tablet, f"B-{SORREL}").status_code == 302
    assert SORREL in text(crew.get(tablet, "/draw-table"))


def test_a_badge_alone_lets_nobody_in_before_their_pin_was_typed_there(crew):
    first, second = crew.tablet("tablet 1"), crew.tablet("tablet 2")
    crew.come_in(first, SORREL, pin=PINS[SORREL])
    came = crew.come_in(second, f"B-{SORREL}")
    assert came.status_code == 403
    assert "Type your PIN once on this tablet" in text(came)


def test_a_badge_asks_for_the_pin_again_after_the_shift(crew, monkeypatch):
    tablet = crew.tablet()
    crew.come_in(tablet, SORREL, pin=PINS[SORREL])
    crew.wall(monkeypatch, hours=12)
    assert crew.come_in(tablet, f"B-{SORREL}").status_code == 403


def test_a_name_typed_without_a_pin_is_no_badge(crew):
    tablet = crew.tablet()
    crew.come_in(tablet, SORREL, pin=PINS[SORREL])
    assert crew.come_in(tablet, SORREL).status_code == 403


def test_each_switch_of_person_begins_a_session_of_its_own(crew):
    tablet = crew.tablet()
    ids = []
    for name in (SORREL, ROWAN, SORREL):
        crew.come_in(tablet, name, pin=PINS[name])
        ids.append(tablet.cookies["__Host-session"].value)
    assert len(set(ids)) == 3


def test_a_session_that_was_planted_before_coming_in_is_not_used(crew):
    client = crew.browser()
    client.cookies["__Host-session"] = "planted" * 5
    crew.employ(HAZEL, Role.PREPARER)
    crew.come_in(client, HAZEL, passphrase=PASSPHRASE)
    assert client.cookies["__Host-session"].value != "planted" * 5


def test_the_session_is_the_tablets_and_of_no_use_without_it(crew):
    tablet = crew.tablet()
    crew.come_in(tablet, SORREL, pin=PINS[SORREL])
    thief = crew.browser()
    thief.cookies["__Host-session"] = tablet.cookies["__Host-session"].value
    assert crew.get(thief, "/draw-table").status_code == 302


def test_five_wrong_pins_make_the_sixth_wait_a_minute_and_the_seventh_two(crew, monkeypatch):
    tablet = crew.tablet()
    for _ in range(5):
        assert "do not fit" in text(crew.come_in(tablet, SORREL, pin="000001"))
    assert "Try again in 1 min" in text(crew.come_in(tablet, SORREL, pin=PINS[SORREL]))
    crew.wall(monkeypatch, seconds=61)
    assert "do not fit" in text(crew.come_in(tablet, SORREL, pin="000001"))
    assert "Try again in 2 min" in text(crew.come_in(tablet, SORREL, pin=PINS[SORREL]))
    crew.wall(monkeypatch, seconds=61 + 121)
    assert crew.come_in(tablet, SORREL, pin=PINS[SORREL]).status_code == 302


def test_after_ten_wrong_pins_only_the_passphrase_lets_in_and_ends_the_count(crew, monkeypatch):
    tablet = crew.tablet()
    for n in range(10):
        crew.wall(monkeypatch, hours=n)
        crew.come_in(tablet, SORREL, pin="000001")
    crew.wall(monkeypatch, hours=100)
    assert "Ten wrong PINs" in text(crew.come_in(tablet, SORREL, pin=PINS[SORREL]))
    assert crew.come_in(tablet, SORREL, passphrase=PASSPHRASE).status_code == 302
    assert crew.come_in(tablet, SORREL, pin=PINS[SORREL]).status_code == 302


def test_wrong_pins_on_one_tablet_lock_nobody_out_on_another(crew):
    first, second = crew.tablet("tablet 1"), crew.tablet("tablet 2")
    for _ in range(6):
        crew.come_in(first, SORREL, pin="000001")
    assert crew.come_in(first, SORREL, pin=PINS[SORREL]).status_code == 403
    assert crew.come_in(first, ROWAN, pin=PINS[ROWAN]).status_code == 302
    assert crew.come_in(second, SORREL, pin=PINS[SORREL]).status_code == 302


def test_wrong_passphrases_are_counted_too_and_a_hundred_are_the_end(crew, monkeypatch):
    client = crew.browser()
    for _ in range(5):
        crew.come_in(client, SORREL, passphrase="not the right one at all")
    said = text(crew.come_in(client, SORREL, passphrase=PASSPHRASE))
    assert "Try again in 1 min" in said
    misses.Missed.objects.update(times=100)
    crew.wall(monkeypatch, days=30)
    assert "Ask who makes log-ins" in text(crew.come_in(client, SORREL, passphrase=PASSPHRASE))


def test_whoever_is_disabled_is_out_at_once_everywhere(crew):
    tablet = crew.tablet()
    crew.come_in(tablet, SORREL, pin=PINS[SORREL])
    assert crew.get(tablet, "/draw-table").status_code == 200
    Staff.objects.filter(name=SORREL).update(is_active=False)
    assert crew.get(tablet, "/draw-table").status_code == 302
    assert crew.come_in(tablet, SORREL, pin=PINS[SORREL]).status_code == 403
    assert crew.come_in(tablet, f"B-{SORREL}").status_code == 403
    assert crew.come_in(tablet, SORREL, passphrase=PASSPHRASE).status_code == 403


def test_after_leaving_the_back_button_shows_the_door(crew):
    tablet = crew.tablet()
    crew.come_in(tablet, SORREL, pin=PINS[SORREL])
    page = crew.get(tablet, "/draw-table")
    left = tablet.post("/leave", secure=True)
    assert page["Cache-Control"] == "no-store"
    assert left["Clear-Site-Data"] == '"storage"'
    assert crew.get(tablet, "/draw-table").url == "/door?next=/draw-table"


def test_the_door_leads_on_within_the_site_only(crew):
    client = crew.browser()
    how = {"passphrase": PASSPHRASE, "_next": "https://elsewhere.example/"}
    assert crew.come_in(client, SORREL, **how).url == "/"
    shown = crew.browser().get("/door?next=//elsewhere.example/x", secure=True)
    assert "elsewhere" not in shown.content.decode()
