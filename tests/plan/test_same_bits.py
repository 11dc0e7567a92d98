"""One source, two ways to run it: compiled in this process, plain Python in another."""

import json
import os
import subprocess
import sys
from pathlib import Path

import pytest
from tests.plan.small_days import DAYS, bits

import thawline
from thawline.base.compiled import COMPILES


@pytest.fixture(scope="module")
def plain():
    root = Path(thawline.__file__).parents[2]
    path = os.pathsep.join([str(root / "src"), str(root)])
    surroundings = {**os.environ, "NUMBA_DISABLE_JIT": "1", "PYTHONPATH": path}
    done = subprocess.run(
        [sys.executable, "-m", "tests.plan.small_days"],
        env=surroundings, capture_output=True, check=True,
    )  # fmt: skip
    return json.loads(done.stdout)


def test_one_of_them_compiles_and_the_other_does_not(plain):
    assert COMPILES
    assert not plain["compiles"]


@pytest.mark.parametrize("what", DAYS)
def test_compiled_and_plain_python_give_the_same_bits(plain, what):
    compiled = bits(what)

    assert sum(map(len, compiled)) > 100
    assert compiled == plain[what]
