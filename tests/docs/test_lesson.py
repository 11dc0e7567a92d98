"""The lesson is typed line by line, and the answers are those on the page."""

import re
import shlex
from pathlib import Path

import pytest

from thawline.cli import main

LESSON = Path(__file__).parents[2] / "docs" / "lesson" / "a-clinic-day.md"
TYPED = re.compile(r"```console\n\$ thawline (?P<words>.*)\n(?P<answer>(?:.*\n)*?)```")


@pytest.fixture
def folder(tmp_path, monkeypatch):
    text = re.search(r"```text\n((?:.*\n)*?)```", LESSON.read_text())
    (tmp_path / "bookings.csv").write_text(text[1])
    monkeypatch.chdir(tmp_path)
    monkeypatch.setenv("THAWLINE_HOME", str(tmp_path / "home"))


@pytest.mark.usefixtures("folder")
def test_the_lesson_can_be_typed_as_it_stands(capsys):
    steps = list(TYPED.finditer(LESSON.read_text()))

    assert len(steps) > 15
    for step in steps:
        main(shlex.split(step["words"]))
        told = capsys.readouterr().out.rstrip("\n")
        pattern = re.escape(step["answer"].rstrip("\n")).replace("…", ".*")
        assert re.fullmatch(pattern, told), (step["words"], told)
