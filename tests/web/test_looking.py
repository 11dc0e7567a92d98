"""Whoever asks a page for a name is noted; so is whoever searches often."""

import pytest
from django.test import RequestFactory
from tests.cast import BRYONY, HAZEL
from tests.web.hall import text

from thawline.app.ports import Name
from thawline.base.errors import BusyError, RecordError
from thawline.base.roles import Role
from thawline.web.around import around
from thawline.web.looking import NotedPeople, looks, searched_often
from thawline.web.who import Who, is_at

WHO = Who(name=HAZEL, roles=frozenset({Role.REGISTRAR}), device="tablet 1")


@pytest.fixture
def people(hall):
    """Three people whose names are kept."""
    for number, called in enumerate(["Wren Hollow", "Wren Marsh", "Alder Vale"]):
        hall.site.people.put(f"DEMO-00000{number}", Name(called))
    return hall


def _noted(hall, screen="front-desk"):
    return NotedPeople(hall.site.people, WHO, screen, hall.site.now())


def test_a_name_that_was_asked_for_is_noted_with_who_where_and_when(people):
    asked = _noted(people)
    assert asked.get("DEMO-000001").called == "Wren Marsh"
    assert asked.get("DEMO-999999") is None
    asked.write()
    [look] = looks().newest(9)
    assert (look.by, look.device, look.screen, look.person, look.at) == (
        HAZEL,
        "tablet 1",
        "front-desk",
        "DEMO-000001",
        people.site.now(),
    )


def test_a_search_is_noted_with_each_name_that_it_shows(people):
    asked = _noted(people)
    assert len(asked.find("wren")) == 2
    asked.write()
    assert {look.person for look in looks().newest(9)} == {"", "DEMO-000000", "DEMO-000001"}


def test_a_search_needs_three_letters_and_shows_twenty_at_most(people):
    for number in range(30):
        people.site.people.put(f"DEMO-1000{number:02}", Name(f"Reed Number {number}"))
    asked = _noted(people)
    assert len(asked.find("reed", 500)) == 20
    with pytest.raises(RecordError, match="too short"):
        asked.find("re")


def test_a_page_that_shows_itself_anew_is_one_look_for_five_minutes(people):
    for wall in ("12:00", "12:02", "12:04"):
        people.clock(wall)
        asked = _noted(people)
        asked.get("DEMO-000000")
        asked.write()
    assert len(looks().newest(9)) == 1
    people.clock("12:05")
    asked = _noted(people)
    asked.get("DEMO-000000")
    asked.write()
    assert len(looks().newest(9)) == 2


def test_another_screen_is_another_look(people):
    for screen in ("front-desk", "chair"):
        asked = _noted(people, screen)
        asked.get("DEMO-000000")
        asked.write()
    assert {look.screen for look in looks().newest(9)} == {"front-desk", "chair"}


def test_what_cannot_be_noted_is_not_shown(people, monkeypatch):
    def busy(*_):
        raise BusyError("no")

    asked = _noted(people)
    asked.get("DEMO-000000")
    monkeypatch.setattr(type(looks()), "note", busy)
    with pytest.raises(BusyError):
        asked.write()


def test_sixty_searches_in_an_hour_are_a_check_for_those_who_see_looks(people):
    for _ in range(59):
        asked = _noted(people)
        asked.find("wren")
        asked.write()
    assert searched_often(people.site.now()) == {}
    last = _noted(people)
    last.find("wren")
    last.write()
    lead = people.browser(BRYONY, Role.CLINICAL_LEAD)
    other = people.browser("Somebody Else", Role.SITE_LEAD)
    says = f"Check: {HAZEL} searched for names 60 times in an hour"
    assert says in text(people.get(lead, "/who-looked"))
    assert says not in text(people.get(other, "/today"))


def test_who_looked_shows_codes_and_never_a_name(people):
    asked = _noted(people)
    asked.get("DEMO-000001")
    asked.write()
    auditor = people.browser("The Auditor", Role.AUDITOR)
    page = text(people.get(auditor, "/who-looked"))
    assert f"{HAZEL} front-desk tablet 1 DEMO-000001" in page
    assert "Wren" not in page
    assert (
        people.get(people.browser("A Lead", Role.SITE_LEAD), "/who-looked").status_code == 403
    )


@pytest.mark.usefixtures("people")
def test_the_names_that_a_page_asks_for_are_noted_without_its_knowing():
    request = RequestFactory().get("/front-desk", secure=True)
    is_at(request, WHO)
    with around(request) as round_:
        round_.site.people.get("DEMO-000002")
        assert looks().newest(9) == []
    assert [look.person for look in looks().newest(9)] == ["DEMO-000002"]
