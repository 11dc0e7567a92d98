"""The page of the protocol format names every key and every code that there is."""

import re
from pathlib import Path
from typing import get_args

import msgspec
import pytest

from thawline.rules.protocol import Protocol

ROOT = Path(__file__).parents[2]
PAGE = (ROOT / "docs" / "reference" / "protocol-format.md").read_text()
AUDIT = (ROOT / "docs" / "background" / "protocol-audit.md").read_text()
RULES = sorted((ROOT / "src" / "thawline" / "rules").glob("*.py"))
CODE = re.compile(r'(?:Slip|Fault|_unknown_name)\(\s*"([a-z-]+)"')


def _structs(form):
    """Return the tables that a type is made of, itself first."""
    if isinstance(form, type) and issubclass(form, msgspec.Struct):
        inner = [found for f in msgspec.structs.fields(form) for found in _structs(f.type)]
        return [form, *inner]
    return [found for part in get_args(form) for found in _structs(part)]


FIELDS = sorted(
    {field.name for table in _structs(Protocol) for field in msgspec.structs.fields(table)}
)
CODES = sorted({code for path in RULES for code in CODE.findall(path.read_text())})


@pytest.mark.parametrize("name", FIELDS)
def test_each_key_of_the_format_is_on_the_page(name):
    assert re.search(rf"\b{name}\b", PAGE)


@pytest.mark.parametrize("code", CODES)
def test_each_code_of_a_check_is_on_the_page(code):
    assert f"`{code}`" in PAGE


def test_the_page_behind_the_checks_names_the_slips():
    slips = {"unit-slip", "unit-mismatch", "sign", "reversed", "gap", "overlap", "volume-sum"}

    assert slips <= set(CODES)
    assert all(f"`{slip}`" in AUDIT for slip in slips)
