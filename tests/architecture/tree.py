"""The files of this project, as the tests of its style look at them."""

import ast
from collections.abc import Iterator
from functools import cache
from pathlib import Path

ROOT = Path(__file__).parents[2]
PACKAGE = ROOT / "src" / "thawline"
SOURCE = sorted(PACKAGE.rglob("*.py"))
TESTS = sorted((ROOT / "tests").rglob("test_*.py"))

Function = ast.FunctionDef | ast.AsyncFunctionDef


@cache
def parsed(path: Path) -> ast.Module:
    return ast.parse(path.read_text())


def functions(path: Path) -> Iterator[Function]:
    return (n for n in ast.walk(parsed(path)) if isinstance(n, Function))


def classes(path: Path) -> Iterator[ast.ClassDef]:
    return (n for n in ast.walk(parsed(path)) if isinstance(n, ast.ClassDef))


def place(path: Path, node: ast.AST) -> str:
    return f"{path.relative_to(ROOT)}:{node.lineno}"


def written() -> Iterator[Path]:
    """Every text that a reader or a user can meet: code, tests, documents, rules, news."""
    kinds = {".py", ".md", ".toml", ".html", ".js", ".css", ".svg", ".typ", ".csv", ".json"}
    for folder in ("src", "tests", "docs", "benchmarks", "changelog.d"):
        yield from (p for p in sorted((ROOT / folder).rglob("*")) if p.suffix in kinds)
    yield from (p for p in sorted(ROOT.iterdir()) if p.is_file() and p.suffix in kinds)
