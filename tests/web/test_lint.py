"""
What pages, their templates and their scripts say, against the design's lint of texts.

Here each rule is shown to find what it is for, and every template and script is read, also the
branches that no page of the demo shows. Whole pages are read in tests/web/browser.
"""

import re
from html import escape
from pathlib import Path

import pytest
from tests.web.lint import FORBIDDEN, HELD, RULES, faults
from tests.web.read_pages import blocks_of

_TEXT = re.compile(r'"(?:[^"\\\n]|\\.)*"|`(?:[^`\\]|\\.)*`')
WEB = Path("src/thawline/web")
OF_WHOLE_PAGES = {
    *("a rule without its item", "a long sentence", "a long question"),
    *("Spanish that is not marked so", "English that is not marked so"),
}
_LIMIT = "<p>Fridge 2 is 8.6 °C, limit 8 °C</p>"
EXAMPLES = {
    "a forbidden word": ("<p>Please scan</p>", "<p>Scan again</p>"),
    "a range with a hyphen": ("<p>2-8 °C</p>", "<p>2 to 8 °C</p>"),
    "a naked decimal": ("<p>.5 mL</p>", "<p>0.5 mL</p>"),
    "a trailing zero": ("<p>Draw 0.50 mL</p>", "<p>Draw 0.5 mL; 8.0 °C was read</p>"),
    "ml without its capital": ("<p>0.5 ml</p>", "<p>0.5 mL, html</p>"),
    "no space before a unit": ("<p>0.5mL</p>", "<p>0.5 mL, 9 %, 2 °C</p>"),
    "am or pm": ("<p>at 2 p.m.</p>", "<p>I am at table 2</p>"),
    "a time without two digits": ("<p>use by 9:05</p>", "<p>use by 09:05</p>"),
    "midnight as a time": ("<p>until 24:00</p>", "<p>until 23:59</p>"),
    "a decimal of hours": ("<p>2.4 h left</p>", "<p>2 h 24 min left</p>"),
    "a hyphen for minus": ("<p>-18 °C</p>", "<p>minus 18 °C</p>"),
    "a count without commas": ("<p>1920 doses</p>", "<p>1,920 doses</p>"),
    "shouting": ("<p>Stop!</p>", "<p>Stop.</p>"),
    "a person released": ("<p>Release person 12</p>", "<p>Two people release them</p>"),
    "a dose lost": ("<p>1 dose was lost</p>", "<p>1 dose wasted</p>"),
    "held in other words": ("<p>Held - do not use</p>", f"<p>{HELD}</p>"),
    "a long sentence": (f"<p>{'word ' * 26}.</p>", f"<p>{'word ' * 25}. {'W ' * 25}</p>"),
    "a long question": (
        f"<p class=ask>{'word ' * 16}</p>",
        f"<p class=ask>{'word ' * 15}</p>",
    ),
    "Spanish that is not marked so": ("<p>¿Fiebre?</p>", '<p lang="es">¿Fiebre?</p>'),
    "English that is not marked so": ('<p lang="es">Wait</p>', '<p lang="es">Espere</p>'),
    "a rule without its item": (_LIMIT, _LIMIT[:-4] + " <span class=item>S2</span></p>"),
}
"""What a rule is for, and what is near it and right."""


def found(text: str) -> set[str]:
    """Return the names of the rules that find something in a page."""
    page = f'<html lang="en"><body>{text}</body></html>'
    return {each.split(": ")[1] for each in faults("page", blocks_of(page))}


@pytest.mark.parametrize("rule", RULES)
def test_each_rule_finds_what_it_is_for_and_nothing_else(rule):
    bad, good = EXAMPLES[rule]
    assert rule in found(bad)
    assert rule not in found(good)


@pytest.mark.parametrize("word", FORBIDDEN)
def test_each_forbidden_word_is_found_in_a_label_that_is_only_read_aloud(word):
    assert "a forbidden word" in found(f'<a aria-label="the {word.upper()} here">x</a>')


def template_faults(path: Path) -> list[str]:
    """Return what a template says against the rules, in any of its branches."""
    plain = re.sub(r"{{.*?}}", "X", re.sub(r"{%.*?%}|{#.*?#}", " ", path.read_text()))
    page = f'<html lang="en"><body>{plain}</body></html>'
    told = faults(path.name, blocks_of(page))
    return [each for each in told if each.split(": ")[1] not in OF_WHOLE_PAGES]


def script_faults(path: Path) -> list[str]:
    """Return what the sentences in a script say against the rules."""
    code = re.sub(r"^\s*//.*$| // .*$", "", path.read_text(), flags=re.MULTILINE)
    texts = (each[1:-1] for each in _TEXT.findall(code) if " " in each and "<" not in each)
    said = "".join(f"<p>{escape(re.sub(r'[$]{.*?}', 'X', each))}</p>" for each in texts)
    page = f'<html lang="en"><body>{said}</body></html>'
    told = faults(path.name, blocks_of(page))
    return [each for each in told if each.split(": ")[1] != "a rule without its item"]


def test_no_branch_of_a_template_says_what_no_page_may_say():
    templates = sorted((WEB / "templates").glob("*.html"))
    assert len(templates) > 50
    assert [each for path in templates for each in template_faults(path)] == []


def test_no_script_of_a_page_says_what_no_page_may_say():
    scripts = sorted((WEB / "static/web").glob("*.js"))
    assert len(scripts) > 15
    assert [each for path in scripts for each in script_faults(path)] == []
