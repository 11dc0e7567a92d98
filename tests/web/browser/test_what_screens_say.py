"""
Every screen of the demo's hall, as each role that sees it, against the lint of texts.

The pages come through Django's test client: no browser is started, but the hall is the one
that the browser tests made, full of a day's work.
"""

import re
from shutil import copytree

import pytest
from django.conf import settings
from tests.web.browser.conftest import SEED
from tests.web.browser.test_every_screen import ONE_THING
from tests.web.conftest import use_rows
from tests.web.hall import text
from tests.web.lint import faults
from tests.web.read_pages import blocks_of
from tests.web.served import PASSPHRASE

from thawline.base.roles import Role
from thawline.web.rights import Way, way
from thawline.web.screens import screens

pytestmark = [pytest.mark.browser, pytest.mark.usefixtures("room")]
OUTSIDE = ("door", "enrol", "emergency-card")
"""What somebody reads who has not come in."""
ANSWERS = (
    ("front-desk", {"name": "DEMO-001929"}),
    ("front-desk", {"name": "Nobody At All"}),
    ("second-doses", {"places": "2026-03-07=5", "left": ""}),
)
"""What is typed at a screen that answers on the same page, and where."""


@pytest.fixture(scope="module")
def room(noon, tmp_path_factory):
    """The hall at 13:37, asked without a browser."""
    home = tmp_path_factory.mktemp("read") / "home"
    copytree(noon, home)
    folder = home / "sites" / "harrowmint"
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(settings, "SITE_FOLDER", folder)
        use_rows(folder / "ops.db")
        yield folder
    use_rows(folder / "ops.db")


def visitor(role: str = ""):
    from django.test import Client  # noqa: PLC0415  after the settings

    from thawline.demo.staff import staff  # noqa: PLC0415

    client = Client(SERVER_NAME="localhost")
    if role:
        here = (each for each in staff(SEED) if each.place in {"harrowmint", "unit"})
        name = next(each.called for each in here if each.role == role)
        answer = client.post("/door", {"name": name, "passphrase": PASSPHRASE}, secure=True)
        assert answer.status_code == 302
    return client


def said_wrong(path: str, answer) -> list[str]:
    if answer.status_code == 302 and answer["Location"].startswith("/pin?"):
        return []  # the page that asks for the PIN is looked at outside the door
    assert answer.status_code == 200, f"{path}: {answer.status_code}"
    return list(faults(path, blocks_of(answer.content.decode())))


def looked_at(client, path: str) -> list[str]:
    return said_wrong(path, client.get(f"/{path}", secure=True))


def seen(role: Role) -> list[str]:
    """Return the screens that a role sees; a station reads only its own entries."""
    return [
        ONE_THING.get(each.path, each.path)
        for each in screens().values()
        if way(each.action, [role]) >= (Way.ALLOWED if each.path == "entry" else Way.PIN)
    ]


@pytest.mark.parametrize("role", [role for role in Role if role is not Role.AUDITOR])
def test_no_screen_of_a_role_says_what_no_page_may_say(role):
    client = visitor(role.value)
    paths = seen(role)
    assert paths, f"{role.value} sees nothing"
    assert [each for path in paths for each in looked_at(client, path)] == []


@pytest.mark.parametrize("role", [role for role in Role if role is not Role.AUDITOR])
def test_a_screen_in_spanish_marks_every_english_word_for_whoever_has_it_read_aloud(role):
    client = visitor(role.value)
    client.cookies["language"] = "es"
    wrong = [each for path in seen(role) for each in looked_at(client, path)]
    assert [each for each in wrong if "that is not marked so" in each] == []


def test_nothing_outside_the_door_says_what_no_page_may_say():
    client = visitor()
    assert [each for path in OUTSIDE for each in looked_at(client, path)] == []


@pytest.mark.parametrize(("path", "typed"), ANSWERS)
def test_no_answer_to_what_was_typed_says_what_no_page_may_say(path, typed):
    answer = visitor(Role.REGISTRAR.value).post(f"/{path}", typed, secure=True, follow=True)
    assert said_wrong(path, answer) == []


def test_each_state_of_the_questions_is_marked_by_its_language_and_says_nothing_wrong():
    client, path = visitor(Role.SCREENER.value), ONE_THING["questions"]
    page, seen = client.get(f"/{path}", secure=True), []
    for _ in range(60):
        seen += said_wrong(path, page)
        body = page.content.decode()
        if "questions are answered" in text(page):
            break
        fields = dict(re.findall(r'name="(answers|item)" value="([^"]*)"', body))
        dated = 'name="dated"' in body
        reply = {"dated": "yes"} if dated else {"reply": "yes" if 'name="on"' in body else "no"}
        page = client.post(f"/{path}", {**fields, **reply}, secure=True)
    assert "questions are answered" in text(page)
    assert seen == []


def test_every_question_of_screening_has_fifteen_words_at_most():
    page = visitor(Role.SCREENER.value).get("/screening-card", secure=True).content.decode()
    asked = [
        each
        for each in blocks_of(page)
        if each.tag == "td" and each.lang == "en" and each.text.endswith("?")
    ]
    assert len(asked) > 10
    assert [each.text for each in asked if len(each.text.split()) > 15] == []
