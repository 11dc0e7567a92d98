"""
The program as it is installed: on a bare PATH, with an empty home, in a process of its own.

Every command explains itself: two examples first, at most forty lines.
"""

import json
import re
import subprocess
import sys
from importlib import import_module
from pathlib import Path

import pytest

from thawline.cli import main
from thawline.cli.entrance import NOUNS

PROGRAM = Path(sys.executable).parent / "thawline"
MOST_LINES = 40
UNEXPLAINED = re.compile(r"  (-|[A-Z]{2,}, -)[^:]*:\s*(\[.*)?")


def started(home, *words, **more):
    """Run the installed program with nothing in its surroundings."""
    surroundings = {"PATH": "/nonexistent", "THAWLINE_HOME": str(home)}
    return subprocess.run(  # noqa: S603  our own program
        [PROGRAM, *words], env=surroundings, capture_output=True, text=True, check=False, **more
    )


def verbs(noun):
    return [verb for verb in import_module(f"thawline.cli.{noun}").app if verb[0] != "-"]


COMMANDS = [(noun, verb) for noun in NOUNS for verb in verbs(noun)]


def helped(capsys, *words):
    code = main([*words, "--help"])
    return code, capsys.readouterr().out.rstrip().splitlines()


def examples(lines):
    """Return the lines before the first table that are commands to type."""
    ends = [n for n, line in enumerate(lines) if line.startswith(("Parameters", "Commands"))]
    return [line for line in lines[: min(ends, default=None)] if line.startswith("thawline ")]


def test_it_starts_on_a_bare_path_with_an_empty_home(tmp_path):
    done = started(tmp_path, "site", "show")

    assert (done.returncode, done.stderr) == (0, "")
    assert done.stdout == "No site here yet: thawline site new NAME\n"


def test_it_says_its_version(tmp_path):
    done = started(tmp_path, "--version")

    assert (done.returncode, done.stdout) == (0, "0.1.0\n")


def test_a_calculator_needs_no_site(tmp_path):
    done = started(tmp_path, "vial", "yield", "--fill-ul", "5500", "--dose-ul", "500", "--json")

    assert (done.returncode, json.loads(done.stdout)["data"]["doses"]) == (0, 11)
    assert list(tmp_path.iterdir()) == []


def test_who_stops_reading_changes_no_exit_code(tmp_path):
    started(tmp_path, "site", "new", "hall", "--zone", "America/Chicago")
    asking = subprocess.Popen(  # noqa: S603  our own program
        [PROGRAM, "vial", "open", "HK47M", "--by", "Hazel", "--home", tmp_path, "--json"],
        stdout=subprocess.PIPE,
    )
    asking.stdout.close()

    assert asking.wait(timeout=30) == 3  # no protocol is adopted


@pytest.mark.parametrize("noun", NOUNS)
def test_every_noun_explains_itself(noun, capsys):
    code, lines = helped(capsys, noun)

    assert code == 0
    assert len(lines) <= MOST_LINES
    assert len(examples(lines)) == 2


@pytest.mark.parametrize(("noun", "verb"), COMMANDS, ids=[" ".join(each) for each in COMMANDS])
def test_every_command_starts_with_two_examples(noun, verb, capsys):
    code, lines = helped(capsys, noun, verb)

    assert code == 0
    assert len(lines) <= MOST_LINES
    assert [line.split()[:3] for line in examples(lines)] == [["thawline", noun, verb]] * 2


def test_the_program_itself_explains_itself(capsys):
    code, lines = helped(capsys)

    assert (code, len(lines) <= MOST_LINES) == (0, True)
    assert len(examples(lines)) == 2
    assert [
        noun for noun in NOUNS if not any(line.startswith(f"  {noun}:") for line in lines)
    ] == []


def test_every_option_of_every_act_is_explained(capsys):
    unexplained = [
        f"{noun} {verb}: {line.strip()}"
        for noun, verb in COMMANDS
        for line in helped(capsys, noun, verb)[1]
        if UNEXPLAINED.fullmatch(line)
    ]

    assert not unexplained
