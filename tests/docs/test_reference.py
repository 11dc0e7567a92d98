"""The generated pages say what the program does, and every example on them can be typed."""

import re
import shlex
from pathlib import Path

import pytest
from tools import reference

from thawline.cli.entrance import NOUNS, build_app, read_shared
from thawline.ledger.kinds import EVENTS

ROOT = Path(__file__).parents[2]
USE_CASES = sorted(
    p for room in ("app", "cli") for p in (ROOT / "src/thawline" / room).glob("*.py")
)
BY_THE_LEDGER_ITSELF = {"Refused"}
LATER: set[str] = set()
VERBS = [(noun, verb, doc) for noun in NOUNS for verb, doc in reference.commands(noun).items()]
EXAMPLE = re.compile(r"^thawline .*(?:\\\n.*)*", re.MULTILINE)


@pytest.mark.parametrize("name", reference.pages())
def test_the_page_is_as_the_program_says(name):
    written = (ROOT / "docs" / "reference" / name).read_text()

    assert written == reference.pages()[name], "run python tools/reference.py"


def test_every_event_is_written_by_a_use_case():
    source = "".join(path.read_text() for path in USE_CASES)
    unwritten = {name for name in EVENTS if not re.search(rf"\b{name}\(", source)}

    assert unwritten == BY_THE_LEDGER_ITSELF | LATER


@pytest.mark.parametrize(("noun", "verb", "doc"), VERBS, ids=[f"{n} {v}" for n, v, _ in VERBS])
def test_every_command_has_two_examples_that_can_be_typed(noun, verb, doc):
    examples = [line.replace("\\\n", "") for line in EXAMPLE.findall(doc)]

    assert len(examples) >= 2
    for example in examples:
        words = shlex.split(re.split(r" [<>] ", example)[0])[1:]
        assert words[: 2 if verb else 1] == [noun, verb][: 2 if verb else 1]
        command, _, _ = build_app().parse_args(
            list(read_shared(words).words), exit_on_error=False, print_error=False
        )
        assert command is not None
