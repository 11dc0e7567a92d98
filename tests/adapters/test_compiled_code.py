"""Compiled code is of the sources that stand there now, also after an update."""

import ast
import os
import shutil
import subprocess
import sys
from pathlib import Path

import pytest
from numba import config

from thawline.adapters import compiled_code
from thawline.adapters.compiled_code import PACKAGE, keep_apart, sources, state_of

CALLER = '''
"""A function that is compiled, with one of another file within it."""
from thawline.base.compiled import compiled, word
from thawline.plan.random_words import uniform

@compiled
def twice(found: int) -> float:
    """Return it twice."""
    return 2 * uniform(found)
'''
ASKED = """
from thawline.adapters.compiled_code import keep_apart
keep_apart()
from thawline.base.compiled import word
from thawline.plan.twice_kernel import twice
print(twice(word(2**63)))
"""


@pytest.fixture
def package(tmp_path):
    """A copy of the few files that such a function needs."""
    for name in ("__init__.py", "adapters/compiled_code.py", "base/compiled.py"):
        (tmp_path / "thawline" / name).parent.mkdir(exist_ok=True)
        shutil.copy(PACKAGE / name, tmp_path / "thawline" / name)
    (tmp_path / "thawline/plan").mkdir()
    shutil.copy(PACKAGE / "plan/random_words.py", tmp_path / "thawline/plan")
    (tmp_path / "thawline/plan/twice_kernel.py").write_text(CALLER)
    return tmp_path / "thawline"


def answered(package):
    surroundings = {**os.environ, "PYTHONPATH": str(package.parent)}
    del surroundings["NUMBA_CACHE_DIR"]
    found = subprocess.run(  # noqa: S603  our own interpreter, a text of our own
        [sys.executable, "-c", ASKED],
        capture_output=True, text=True, check=True, env=surroundings,
    )  # fmt: skip
    return float(found.stdout)


def test_a_function_that_calls_a_changed_one_of_another_file_is_compiled_anew(package):
    """By hand: the word 2**63 is one half as a uniform number, a quarter with half the step."""
    before = answered(package)
    words = package / "plan/random_words.py"
    words.write_text(words.read_text().replace("UNIT = 2.0**-53", "UNIT = 2.0**-54"))

    assert (before, answered(package)) == (1.0, 0.5)


def test_the_same_sources_have_the_same_name_wherever_they_stand(package, tmp_path_factory):
    elsewhere = tmp_path_factory.mktemp("elsewhere") / "thawline"
    shutil.copytree(package, elsewhere)

    assert state_of(package) == state_of(elsewhere)


def ours(path):
    """The files of this project that a file imports."""
    names = [
        node.module
        for node in ast.walk(ast.parse(path.read_text()))
        if isinstance(node, ast.ImportFrom) and node.module and node.module[:8] == "thawline"
    ]
    return {PACKAGE.parent / (name.replace(".", "/") + ".py") for name in names}


def test_every_file_that_goes_into_compiled_code_counts():
    """Of its own, or by a constant; errors are raised by plain Python alone."""
    with_functions = {
        path
        for path in PACKAGE.rglob("*.py")
        if any(mark in path.read_text() for mark in ("\n@compiled\n", "\n@inlined\n"))
    }
    needed = with_functions.union(*map(ours, with_functions)) - {PACKAGE / "base/errors.py"}

    assert len(with_functions) >= 10
    assert needed <= set(sources(PACKAGE))


def test_these_tests_run_no_compiled_code_of_older_sources():
    assert Path(config.CACHE_DIR).name == f"compiled-{state_of(PACKAGE)}"


def test_a_folder_that_was_asked_for_is_used(tmp_path, monkeypatch):
    monkeypatch.setenv("NUMBA_CACHE_DIR", str(tmp_path))

    keep_apart()
    keep_apart()

    assert Path(os.environ["NUMBA_CACHE_DIR"]).parent == tmp_path


def test_a_user_without_a_home_and_without_a_place_to_write_goes_on(monkeypatch):
    def homeless():
        raise RuntimeError("no home")

    monkeypatch.delenv("NUMBA_CACHE_DIR")
    monkeypatch.delenv("XDG_CACHE_HOME", raising=False)
    monkeypatch.setattr(compiled_code, "PACKAGE", Path("/dev/null"))
    monkeypatch.setattr(compiled_code.Path, "home", homeless)

    keep_apart()

    assert "NUMBA_CACHE_DIR" not in os.environ


def test_a_folder_that_cannot_be_written_to_is_passed_over(tmp_path, monkeypatch):
    (tmp_path / "file").write_text("no folder")
    monkeypatch.setenv("NUMBA_CACHE_DIR", str(tmp_path / "file"))

    keep_apart()

    assert Path(os.environ["NUMBA_CACHE_DIR"]).parent == PACKAGE / "__pycache__"
