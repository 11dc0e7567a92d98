"""The guide shows every screen, each picture is there, and together they stay small."""

import re
from pathlib import Path

from tools.pictures import PICTURES, views

from thawline.web.screens import screens

GUIDE = Path(__file__).parents[2] / "docs" / "guides" / "screens.md"
SHOWN = re.compile(r"\(\.\./pictures/([\w-]+\.png)\)")
MOST_BYTES = 3_000_000
A_TABLET, A_PHONE = (1180, 820), (390, 844)


def size_of(file: Path) -> tuple[int, int]:
    """Width and height stand in bytes 16 to 24 of a PNG (ISO/IEC 15948:2004, 11.2.2)."""
    head = file.read_bytes()[16:24]
    return int.from_bytes(head[:4], "big"), int.from_bytes(head[4:], "big")


def test_every_screen_has_somebody_at_it_and_its_picture():
    assert {each.screen for each in views()} == set(screens())
    assert {each.file for each in views()} == set(SHOWN.findall(GUIDE.read_text()))


def test_each_picture_is_there_as_large_as_the_screen_it_shows():
    for each in views():
        assert size_of(PICTURES / each.file) == (A_PHONE if each.size else A_TABLET), each.file


def test_no_picture_lies_there_that_nothing_shows():
    assert {each.name for each in PICTURES.iterdir()} == {each.file for each in views()}


def test_all_pictures_together_are_less_than_three_megabytes():
    assert sum(each.stat().st_size for each in PICTURES.iterdir()) <= MOST_BYTES
