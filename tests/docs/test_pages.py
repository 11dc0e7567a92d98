"""The pages are true: decisions are listed, links lead somewhere, targets and news exist."""

import re
import tomllib
from pathlib import Path

import pytest

ROOT = Path(__file__).parents[2]
DOCS = ROOT / "docs"
GLOSSARY = ROOT / "src" / "thawline" / "cli" / "glossary.md"
RECORDS = sorted((DOCS / "decisions").glob("[0-9]*.md"))
PAGES = [ROOT / "README.md", ROOT / "CHANGELOG.md", *sorted(DOCS.rglob("*.md"))]
HEADINGS = ["## Context", "## Decision", "## Consequences"]
LINK = re.compile(r"\]\((?!https?:|#|mailto:)([^)#\s]+)")
TARGET = re.compile(r"`make ([a-z]+)|^make ([a-z]+)$", re.MULTILINE)


def _dead_links(page: Path) -> list[str]:
    if page.name == "template.md":
        return []
    links = LINK.findall(page.read_text())
    return [f"{page.name}: {link}" for link in links if not (page.parent / link).exists()]


def test_every_decision_is_in_the_index():
    index = (DOCS / "decisions" / "index.md").read_text()

    assert not [r.name for r in RECORDS if f"[{r.name[:4]}]({r.name})" not in index]


def test_each_decision_has_a_number_of_its_own():
    numbers = [record.name[:4] for record in RECORDS]

    assert not {n for n in numbers if numbers.count(n) > 1}


@pytest.mark.parametrize("record", RECORDS, ids=lambda record: record.stem)
def test_a_decision_gives_its_facts_its_will_and_its_price(record):
    lines = record.read_text().splitlines()

    assert lines[0].startswith(f"# {record.name[:4]}. ")
    assert re.fullmatch(
        r"Status: (proposed|(accepted|superseded by .+), \d{4}-\d\d-\d\d)", lines[2]
    )
    assert [line for line in lines if line.startswith("## ")] == HEADINGS


def test_every_link_leads_to_a_file():
    assert not [dead for page in PAGES for dead in _dead_links(page)]


def test_every_make_target_that_a_page_names_exists():
    targets = set(re.findall(r"^([a-z]+):", (ROOT / "Makefile").read_text(), re.MULTILINE))
    named = {
        target
        for page in [*PAGES, *(ROOT / "changelog.d").glob("*.md")]
        for found in TARGET.findall(page.read_text())
        for target in found
        if target
    }

    assert named <= targets, named - targets


def test_news_is_filed_under_an_issue_and_a_known_kind():
    settings = tomllib.loads((ROOT / "pyproject.toml").read_text())["tool"]["towncrier"]
    kinds = "|".join(kind["directory"] for kind in settings["type"])
    names = {path.name for path in (ROOT / "changelog.d").iterdir()} - {"README.md"}

    assert not [n for n in names if not re.fullmatch(rf"\d+(\.\d+)?\.({kinds})(\.\d+)?\.md", n)]


def test_no_word_is_defined_twice():
    lines = GLOSSARY.read_text().split(":sorted:")[1].splitlines()
    terms = [line.lower() for line in lines if re.match(r"\w", line)]

    assert len(terms) == len(set(terms)), sorted(terms)
