"""
The house style that linters cannot check.

Each test lists every place that breaks a rule, so one run shows them all.
"""

import ast
import re
from itertools import pairwise
from pathlib import Path

from tests.architecture.tree import ROOT, SOURCE, TESTS, functions, parsed, place

MODULE_LINES = 400
FUNCTION_LINES = 40
ASSERTS_PER_TEST = 8
ALLOWED_LONG_MODULES = {  # path: number of the decision that allows it
    "src/thawline/exchange/loggers/plain_lines.py": "0074",
}
NARRATED_PER_100_LINES = 0.2
NARRATION = re.compile(
    r"\s*#\s*(initiali[sz]e|create|get|set|loop|iterate|return|now|then|finally|update|add|append|"
    r"process|handle|call|build|calculate|compute|check (if|that|the)|make|fetch|validate|"
    r"step [0-9])\b",
    re.IGNORECASE,
)
NEVER_FAILS = re.compile(r"\|\|\s*(true\b|:(\s|;|$))|^\t-", re.MULTILINE)


def _asserts(test: ast.FunctionDef) -> int:
    checks = [n for n in ast.walk(test) if isinstance(n, ast.Assert)]
    calls = [n.func for n in ast.walk(test) if isinstance(n, ast.Call)]
    names = [getattr(f, "attr", getattr(f, "id", "")) for f in calls]
    return len(checks) + sum(n in {"raises", "warns"} or n.startswith("assert_") for n in names)


def _narrates(path: Path) -> list[str]:
    lines = ["", *path.read_text().splitlines()]
    return [
        f"{path.relative_to(ROOT)}:{number}"
        for number, (before, line) in enumerate(pairwise(lines), 1)
        if NARRATION.match(line) and not before.lstrip().startswith("#")
    ]


def test_modules_stay_small():
    long = {
        str(p.relative_to(ROOT)): n
        for p in SOURCE
        if (n := len(p.read_text().splitlines())) > MODULE_LINES
    }

    assert long.keys() <= ALLOWED_LONG_MODULES.keys(), long


def test_functions_stay_short():
    long = []
    for path in SOURCE:
        for f in functions(path):
            first = f.body[1] if ast.get_docstring(f) and len(f.body) > 1 else f.body[0]
            if f.end_lineno - first.lineno + 1 > FUNCTION_LINES:
                long.append(place(path, f))

    assert not long


def test_every_test_asserts_something_and_not_everything():
    odd = [
        place(p, f)
        for p in TESTS
        for f in functions(p)
        if f.name.startswith("test_") and not 1 <= _asserts(f) <= ASSERTS_PER_TEST
    ]

    assert not odd


def test_only_instants_converts_between_time_zones():
    strays = [
        place(p, n)
        for p in SOURCE
        if p.name != "instants.py"
        for n in ast.walk(parsed(p))
        if isinstance(n, ast.Attribute) and n.attr == "astimezone"
    ]

    assert not strays


def test_comments_do_not_narrate_the_next_line():
    narrated = [found for p in SOURCE for found in _narrates(p)]
    lines = sum(len(p.read_text().splitlines()) for p in SOURCE)

    assert len(narrated) * 100 <= NARRATED_PER_100_LINES * lines, narrated


def test_no_command_of_the_build_is_allowed_to_fail_unseen():
    files = [ROOT / "Makefile", ROOT / ".ci" / "run", ROOT / ".pre-commit-config.yaml"]
    unseen = [p.name for p in files if NEVER_FAILS.search(p.read_text())]

    assert not unseen
