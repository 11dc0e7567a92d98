"""`thawline help words`: the glossary, as the pages have it."""

import pytest
from tests.cli.people import answered

from thawline.cli import main
from thawline.cli.help import glossary


def test_a_word_is_said_with_its_meaning(capsys):
    code, answer = answered(capsys, "help", "words", "carton")

    assert (code, list(answer["data"]["words"])) == (0, ["carton"])
    assert answer["data"]["words"]["carton"].startswith("The sealed box of one lot in which")


def test_a_part_of_a_word_in_any_case_finds_all_that_have_it(capsys):
    _, answer = answered(capsys, "help", "words", "WASTAGE")

    assert {"closed-vial wastage", "open-vial wastage"} <= set(answer["data"]["words"])


def test_without_a_word_everything_is_listed(capsys):
    _, answer = answered(capsys, "help", "words")

    assert answer["data"]["words"] == glossary()
    assert len(glossary()) >= 30


@pytest.mark.parametrize("mark", ["{", "`", "*", "<", "\n"])
def test_no_mark_of_the_page_is_left_in_what_a_person_reads(mark):
    assert [word for word, says in glossary().items() if mark in says or mark in word] == []


def test_every_word_has_a_meaning_and_lines_fit_the_page(capsys):
    main(["help", "words"])

    lines = capsys.readouterr().out.splitlines()
    assert all(glossary().values())
    assert max(map(len, lines)) <= 100


def test_a_word_that_is_not_in_the_glossary_is_named(capsys):
    code, answer = answered(capsys, "help", "words", "zzz")

    assert (code, answer["error"]) == (
        5,
        {
            "code": "not-found",
            "says": "no word 'zzz' in the glossary",
            "try": "thawline help words",
        },
    )
