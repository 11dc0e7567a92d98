"""How large what is pressed with gloves is: matched to a bank card once, kept on the tablet."""

import re
from pathlib import Path

import pytest
from tests.cast import HAZEL

from thawline.base.roles import Role
from thawline.web.touch import SIZES

SHEET = Path(__file__).parents[2] / "src/thawline/web/static/web/site.css"


@pytest.fixture
def desk(hall):
    """The browser of a technical admin."""
    return hall.browser(HAZEL, Role.TECHNICAL_ADMIN)


def _size(page) -> str:
    return re.search(r'<html[^>]* data-touch="(\d+)"', page.content.decode())[1]


def test_a_tablet_begins_with_the_size_of_the_design(hall, desk):
    assert _size(hall.get(desk, "/set-up")) == "104"


def test_a_size_that_was_kept_is_on_every_page_of_that_tablet_alone(hall, desk):
    desk.post("/touch", {"touch": "132", "_next": "/set-up"}, secure=True)
    assert _size(hall.get(desk, "/set-up")) == "132"
    assert _size(hall.get(hall.browser(HAZEL), "/set-up")) == "104"


def test_a_size_is_tried_before_it_is_kept(hall, desk):
    page = hall.get(desk, "/set-up?touch=112").content.decode()
    assert '<div class="bank-card" data-touch="112">' in page
    assert 'href="?touch=116"' in page
    assert 'href="?touch=108"' in page


@pytest.mark.parametrize("size", ["", "0", "103", "9999", "x", "-104"])
def test_what_is_no_size_is_refused_and_nothing_kept(hall, desk, size):
    answer = desk.post("/touch", {"touch": size}, secure=True)
    assert answer.status_code == 422
    assert _size(hall.get(desk, "/set-up")) == "104"


def test_a_spoilt_cookie_is_the_usual_size(hall, desk):
    desk.cookies["touch"] = "1; x"
    assert _size(hall.get(desk, "/set-up")) == "104"


def test_the_style_sheet_knows_each_size_as_it_is_named():
    known = re.findall(r'\[data-touch="(\d+)"\] \{ --touch: (\d+)px; \}', SHEET.read_text())
    assert [int(name) for name, _ in known] == list(SIZES)
    assert all(name == size for name, size in known)
