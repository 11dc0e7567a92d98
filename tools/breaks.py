"""
Runs mutmut with the tests collected once, which makes it several times as fast.

mutmut starts pytest anew for each break and that takes longer than the tests. Here they are
collected before the first break; the process of a break runs those tests that reach it and ends
with the first that fails. First come those that noticed other breaks of the same module, then
those written for it. The verdicts are the same.
"""

import os
import sys
from collections import Counter
from collections.abc import Iterable
from pathlib import Path

import mutmut.__main__ as mutmut
import pytest
from _pytest.config import get_config
from mutmut.configuration import config
from mutmut.mutation import trampoline
from mutmut.runners.harness import PytestRunner
from mutmut.state import state
from mutmut.utils.file_utils import change_cwd
from mutmut.workers.isolation import ForkRunner

NOTICED = 1
UNREACHED = 33  # what mutmut calls a break without a test
NOTICED_BY = Path("noticed-by.txt")  # in mutants/: a line with module and test for each break
SLOW_S = 0.25  # a test that takes longer comes after all others
PLUGINS_LEFT_OUT = ("xdist", "cov", "logging", "faulthandler", "unraisableexception")


class CollectedOnce(PytestRunner):
    """The tests of this project, ready to be run one by one."""

    def collect(self) -> None:
        """Collect the tests, none of them with a break in what it imports."""
        trampoline.set_mutant_under_test("")
        # The name of the break is asked for at each call of a broken function: from memory.
        trampoline.get_mutant_under_test = lambda: trampoline._mutant_under_test  # noqa: SLF001 - no other way
        # A failure shown in full parses the broken module, which takes longest of all.
        left_out = [word for name in PLUGINS_LEFT_OUT for word in ("-p", f"no:{name}")]
        chosen = [*config().pytest_add_cli_args, *config().pytest_add_cli_args_test_selection]
        shown, sys.stdout = sys.stdout, open(os.devnull, "w")  # noqa: PTH123, SIM115 - as long as the session
        with change_cwd("mutants"):
            settings = get_config(["--rootdir=."])
            settings.parse(
                ["--rootdir=.", "-x", "--tb=native", "--capture=no", *left_out, *chosen]
            )
            settings._do_configure()  # noqa: SLF001 - pytest.main would end the session
            self.session = pytest.Session.from_config(settings)
            settings.hook.pytest_sessionstart(session=self.session)
            settings.hook.pytest_collection(session=self.session)
        sys.stdout = shown
        self.tests = {item.nodeid: item for item in self.session.items}

    def run_tests(self, *, mutant_name: str | None, tests: Iterable[str]) -> int:
        """Return 0 where all the tests pass, 1 where one fails; without a break, as pytest."""
        if mutant_name is None:
            return int(super().run_tests(mutant_name=None, tests=tests))
        with change_cwd("mutants"):
            chosen = self._nearest_first(mutant_name, tests)
            try:
                for item, following in zip(chosen, [*chosen[1:], None], strict=True):
                    item.config.hook.pytest_runtest_protocol(item=item, nextitem=following)
                    if self.session.testsfailed:
                        return _noticed(mutant_name, item.nodeid)
            except (self.session.Failed, self.session.Interrupted):
                return NOTICED
        return 0 if chosen else UNREACHED

    def _nearest_first(self, mutant: str, tests: Iterable[str]) -> list[pytest.Item]:
        lines = NOTICED_BY.read_text().splitlines() if NOTICED_BY.exists() else []
        module = f"{_module(mutant)} "
        noticed = Counter(
            line.removeprefix(module) for line in lines if line.startswith(module)
        )
        nearest = sorted(tests, key=lambda test: (-noticed[test], *_distance(mutant, test)))
        return [self.tests[test] for test in nearest if test in self.tests]


class Forks(ForkRunner):
    """One process a break, each with the tests as they were collected before the first."""

    all_passed = False

    def collect_stats(self, tests: Iterable[str] | None) -> int:
        """Run the tests and note which functions each one reaches."""
        failed = super().collect_stats(tests)
        self.all_passed = not failed and not tests
        return failed

    def run_clean_tests(self, tests: Iterable[str]) -> int:
        """Run the tests without a break, unless all of them have just passed."""
        return 0 if self.all_passed else super().run_clean_tests(tests)

    def startup(self) -> None:
        """Collect, then start."""
        self.test_runner.collect()
        super().startup()


def _module(mutant: str) -> str:
    return mutant.rpartition(".")[0]


def _noticed(mutant: str, test: str) -> int:
    with NOTICED_BY.open("a") as lines:
        lines.write(f"{_module(mutant)} {test}\n")
    return NOTICED


def _distance(mutant: str, test: str) -> tuple[bool, int, float]:
    """Return how far a test is from a break: slow ones last, those of the module first."""
    _, room, *module = mutant.split(".")
    stem = module[0] if len(module) > 1 else room
    takes_s = state().duration_by_test.get(test, 0)
    places = (f"tests/{room}/test_{stem}.", f"tests/{room}/test_{stem}", f"tests/{room}/")
    nearness = next((n for n, place in enumerate(places) if place in test), len(places))
    return takes_s > SLOW_S, nearness, takes_s


REACHED = Path("mutants/mutmut-stats.json")
"""Which test reaches which function; of an earlier state it leaves out what is new since."""

if __name__ == "__main__":
    REACHED.unlink(missing_ok=True)
    # Tests may be better than when a break was last tried; what one noticed stays noticed.
    mutmut._reset_mutant_results(lambda _break, ending: ending != NOTICED)  # noqa: SLF001
    mutmut.print_stats = lambda *_, **__: None  # counts all breaks anew for each of them
    mutmut.get_mutant_runner = lambda most: Forks(most, CollectedOnce())
    mutmut._run((), int(sys.argv[1]))  # noqa: SLF001 - what `mutmut run` calls
