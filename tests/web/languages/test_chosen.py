"""The language of a tablet: chosen in its footer, kept on it alone, and said to be a draft."""

import pytest
from tests.cast import HAZEL

from thawline.base.roles import Role
from thawline.web.languages import chosen
from thawline.web.languages.catalogue import catalogues


@pytest.fixture
def desk(hall):
    """The browser of somebody at Set-up."""
    return hall.browser(HAZEL, Role.TECHNICAL_ADMIN)


def in_spanish(client):
    return client.post("/language", {"language": "es", "_next": "/set-up"}, secure=True)


def test_a_tablet_begins_in_english_and_nothing_says_draft(hall, desk):
    page = hall.get(desk, "/set-up").content.decode()
    assert '<html lang="en"' in page
    assert 'class="mark draft"' not in page
    assert 'id="words"' not in page


def test_a_tablet_that_chose_spanish_has_it_on_its_pages_and_no_other_tablet_does(hall, desk):
    assert in_spanish(desk)["Location"] == "/set-up"
    page = hall.get(desk, "/set-up").content.decode()
    assert '<html lang="es"' in page
    assert "<h1>Ajustes</h1>" in page
    assert '<html lang="en"' in hall.get(hall.browser(HAZEL), "/set-up").content.decode()


def test_a_page_in_words_nobody_reviewed_says_that_it_is_a_draft(desk):
    assert catalogues()["es"].draft
    in_spanish(desk)
    for path in ("/set-up", "/door", "/pin", "/no-such-page"):
        page = desk.get(path, secure=True).content.decode()
        assert 'class="mark draft"' in page, path


def test_the_way_back_to_english_is_in_english(hall, desk):
    in_spanish(desk)
    assert 'value="en" lang="en">English</button>' in hall.get(desk, "/set-up").content.decode()
    desk.post("/language", {"language": "en", "_next": "/set-up"}, secure=True)
    assert '<html lang="en"' in hall.get(desk, "/set-up").content.decode()


@pytest.mark.parametrize("code", ["", "xx", "../es", "ES"])
def test_what_is_no_language_changes_nothing(hall, desk, code):
    desk.post("/language", {"language": code, "_next": "/set-up"}, secure=True)
    assert '<html lang="en"' in hall.get(desk, "/set-up").content.decode()


def test_the_page_is_made_anew_in_the_other_language(hall, desk):
    """A tablet that has the page already must not be told that nothing changed."""
    tag = hall.get(desk, "/set-up")["ETag"]
    asked = {"secure": True, "headers": {"if-none-match": tag}}
    assert desk.get("/set-up", **asked).status_code == 304
    in_spanish(desk)
    assert desk.get("/set-up", **asked).status_code == 200


def test_the_scripts_bring_their_words_with_the_page(hall, desk):
    in_spanish(desk)
    page = hall.get(desk, "/set-up").content.decode()
    assert '<script id="words" type="application/json">' in page
    assert len(chosen.said_by_scripts()) > 30
