"""
The file of Spanish words: whole, true to its numbers, and never without a "not".

Nobody has reviewed the words themselves; what a machine can compare is compared here.
"""

import ast
import re
from collections import Counter
from collections.abc import Iterator
from itertools import chain, pairwise
from pathlib import Path

import pytest

from thawline.web.languages.catalogue import catalogues
from thawline.web.languages.chosen import said_by_scripts
from thawline.web.languages.retold import words_of

SOURCES = Path("src/thawline")
TEMPLATES = sorted(SOURCES.glob("web/templates/*.html"))
SPANISH = catalogues()["es"]
WORDS = [*SPANISH.screens.items(), *SPANISH.rooms.items()]
_NOT_EN = re.compile(
    r"\b(?:not|never|no|nobody|nothing|none|neither|cannot|without)\b", re.IGNORECASE
)
_NOT_ES = re.compile(
    r"\b(?:no|nunca|jamás|nadie|nada|ninguna?|ninguno|ningún|ni|sin|tampoco)\b", re.IGNORECASE
)
MOSTLY = 0.7
"""A sentence is put together from pieces: where they meet, two words stand together nowhere."""
_HUMP = re.compile(r"(?<=[a-z])(?=[A-Z])")
_WORDS = re.compile(r"[^\W\d_]+")
_NUMBER = re.compile(r"\d+(?:[.,:]\d+)*")


@pytest.mark.parametrize("path", TEMPLATES, ids=lambda path: path.stem)
def test_every_word_of_a_screen_is_there(path):
    assert [each for each in words_of(path.read_text()) if each not in SPANISH.screens] == []


def test_every_sentence_of_a_script_is_there():
    said = (each.removesuffix(".") for each in said_by_scripts())
    assert [each for each in said if each not in SPANISH.screens] == []


def test_no_sentence_is_there_that_nothing_says():
    """What the product no longer says is taken out, so that a reviewer reads what is used."""
    pairs = {pair for text in _said_by_us() for pair in _pairs(text)}
    unsaid = [each for each, _there in WORDS if not _is_said(each, pairs)]
    assert unsaid == []


def test_gaps_and_numbers_are_the_same_on_both_sides():
    wrong = []
    for english, spanish in WORDS:
        gaps = re.findall(r"\{(\d?)\}", spanish)
        bare = re.sub(r"\{\d?\}", " ", spanish)
        numbers = Counter(_NUMBER.findall(bare)), Counter(_NUMBER.findall(english))
        numbered = not any(gaps) or sorted(gaps) == [str(n + 1) for n in range(len(gaps))]
        if len(gaps) != english.count("{}") or not numbered or numbers[0] != numbers[1]:
            wrong.append((english, spanish))
    assert wrong == []


def test_no_not_is_lost():
    """The mistake that hurts: "do not use" told as "use"."""
    lost = [
        (english, spanish)
        for english, spanish in WORDS
        if _NOT_EN.search(english) and not _NOT_ES.search(spanish)
    ]
    assert lost == []


def _said_by_us() -> Iterator[str]:
    texts = (SOURCES.rglob(kind) for kind in ("*.js", "rules/**/*.toml", "report/*.toml"))
    for path in [*TEMPLATES, *chain.from_iterable(texts)]:
        yield path.read_text()
    for path in SOURCES.rglob("*.py"):
        for node in ast.walk(ast.parse(path.read_text())):
            if isinstance(node, ast.Constant) and isinstance(node.value, str):
                yield node.value
            if isinstance(node, ast.ClassDef):  # the journal says "Vial punctured"
                yield _HUMP.sub(" ", node.name)


def _pairs(text: str) -> Iterator[tuple[str, ...]]:
    """Yield each word and each two words that stand together, never over a gap."""
    for piece in text.lower().split("{}"):
        words = _WORDS.findall(piece)
        yield from ((word,) for word in words)
        yield from pairwise(words)


def _is_said(sentence: str, said: set[tuple[str, ...]]) -> bool:
    """Say whether its words are ours, and most of those that stand together do so there too."""
    found = list(_pairs(sentence))
    return sum(each in said for each in found) >= MOSTLY * len(found)
