"""Every field of a page that takes a code takes it from a scanner too."""

import re
from pathlib import Path

import pytest

from thawline import web
from thawline.app.scanned import Thing

TEMPLATES = sorted((Path(web.__file__).parent / "templates").glob("*.html"))
TAKES = {
    "person": "person",
    "source": "person",
    "vial": "vial",
    "_second": "badge",
    "badge": "badge",
}
"""What a field of that name is about; "code" is a vial's or a syringe's at the chair alone."""
OF_OTHERS = {
    ("last-vial", "person"),  # what one person is worth, in doses
    ("door", "name"),
}


def _fields() -> list[tuple[str, str, dict[str, str]]]:
    found = []
    for template in TEMPLATES:
        for tag in re.findall(r"<input [^>]*>", template.read_text()):
            told = dict(re.findall(r'([a-z-]+)="([^"]*)"', tag))
            if told.get("type", "text") == "text" and "name" in told:
                found.append((template.stem, told["name"], told | {"tag": tag}))
    return found


def test_there_are_fields_to_look_at():
    assert len(_fields()) > 50


def test_a_field_that_is_about_a_code_says_which_scans_it_takes():
    missing = [
        (page, name)
        for page, name, told in _fields()
        if (kind := TAKES.get(name))
        and kind not in told.get("data-scan", "").split()
        and (page, name) not in OF_OTHERS
    ]
    assert missing == []


@pytest.mark.parametrize("page", ["dose", "needle-stick"])
def test_at_the_chair_a_syringe_or_a_vial_is_scanned(page):
    told = [told["data-scan"] for at, name, told in _fields() if (at, name) == (page, "code")]
    assert told
    assert set(told) == {"syringe vial"}


def test_what_a_field_takes_is_a_kind_of_code_that_the_site_tells_apart():
    kinds = {each.value for each in Thing} | {"unknown"}
    tags = [told for _, _, told in _fields() if "data-scan" in told["tag"]]
    assert tags
    assert all(set(told.get("data-scan", "?").split()) <= kinds for told in tags)
