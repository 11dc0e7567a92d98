"""
Read random and spoilt logger files for ten minutes: `make fuzz`.

Each file goes the whole way, from the disk to the printed answer, and where it is plain a
second time as a long file, which may answer more strictly and never more mildly. It must be
read exactly as it was written or be refused, in less than two seconds and in bounded memory;
nothing else may be raised. Prints the seed, writes docs/evidence/logger-fuzz.md, ends with 1
where anything failed.
"""

import argparse
import platform
import resource
import signal
import subprocess
import sys
import tempfile
import traceback
from collections import Counter
from dataclasses import dataclass, field
from decimal import Decimal
from pathlib import Path
from random import Random
from time import monotonic, process_time

from grammar import Written, asks_everything, spoiled, written_file, written_workbook

from thawline.adapters import long_files, rule_files
from thawline.adapters.logger_files import read_logger
from thawline.adapters.time import now
from thawline.app.cold_reading import cold_reading
from thawline.app.cold_record import Judged
from thawline.app.long_reading import long_reading
from thawline.base.errors import ExchangeError, NotPlainError
from thawline.cli.cold_text import answer_of
from thawline.exchange.loggers.asked import Asked
from thawline.exchange.loggers.joined import LoggerFile
from thawline.store.exposure import Question, Verdict
from thawline.store.limits import between

PAGE = Path(__file__).parents[3] / "docs" / "evidence" / "logger-fuzz.md"
MOST_SECONDS = 2
WORKBOOKS = 0.01  # of all files; each is opened in a process of its own
MOST_MEMORY_KB = 512 * 1024
RULES = rule_files.load("published-2022")
JUDGED = Judged("", None, between(Decimal(2), Decimal(8)), 500, None, RULES.protocol)


_STRICTNESS = (Verdict.IN_RANGE, Verdict.NOT_KNOWN, Verdict.EXCURSION)
long_files.LONG_FROM = 0  # every file is a long one too


class HungError(Exception):
    """A file took longer than it may."""


@dataclass
class Tally:
    """What happened to the files."""

    files: Counter[str] = field(default_factory=Counter)
    failed: list[str] = field(default_factory=list)
    slowest_s: float = 0.0


def main() -> int:
    """Run, print and write down; 1 where anything failed."""
    asked = _asked()
    commit, began, tally = _commit(), monotonic(), Tally()
    signal.signal(signal.SIGPROF, _hung)
    sys.stdout.write(f"seed {asked.seed}\n")
    with tempfile.TemporaryDirectory() as folder:
        path = Path(folder) / "fuzz.csv"
        while monotonic() - began < asked.seconds and len(tally.failed) < 20:
            number = tally.files.total()
            _try(f"{asked.seed}:{number}", path, tally)
    lines = _counts(asked, tally)
    sys.stdout.write("\n".join([*lines, *tally.failed, ""]))
    if not asked.no_page:
        _write_page(asked, lines, commit)
    return 1 if tally.failed or _memory_kb() > MOST_MEMORY_KB else 0


def _try(seed: str, path: Path, tally: Tally) -> None:
    """Read one file the whole way, and count what came of it."""
    rng = Random(seed)  # noqa: S311  files, not secrets
    file = written_workbook(rng) if rng.random() < WORKBOOKS else written_file(rng)
    is_whole = rng.random() < 0.3
    path.write_bytes(file.raw if is_whole else _broken(rng, file.raw))
    began = process_time()
    signal.setitimer(signal.ITIMER_PROF, MOST_SECONDS)
    try:
        what = _read(file, path, is_whole=is_whole)
    except Exception:  # noqa: BLE001  whatever it is, it must be told
        what = "failed"
        tally.failed.append(f"seed {seed}\n{traceback.format_exc()}")
    finally:
        signal.setitimer(signal.ITIMER_PROF, 0)
    tally.slowest_s = max(tally.slowest_s, process_time() - began)
    tally.files[what] += 1


def _broken(rng: Random, raw: bytes) -> bytes:
    """Return spoilt bytes, or now and then a file that was never a logger's."""
    if rng.random() < 0.02:
        return rng.randbytes(rng.randrange(5_000))
    if rng.random() < 0.02:
        return raw + raw * rng.randrange(50)
    return spoiled(rng, raw)


def _read(file: Written, path: Path, *, is_whole: bool) -> str:
    try:
        read = read_logger(str(path), file.asked)
    except ExchangeError as refused:
        if is_whole and asks_everything(file):
            raise AssertionError(f"refused: {refused.says}") from refused
        return "whole, asked about" if is_whole else "spoilt, refused"
    if is_whole and not file.is_told_by(_readings(read)):
        raise AssertionError("read as something else than was written")
    try:
        answer = answer_of(cold_reading([read], JUDGED), file.asked, RULES.ref)
    except ExchangeError:
        return "read, and probably °F"
    if not answer.text:
        raise AssertionError("an answer without words")
    _check_long(str(path), file.asked, Verdict(answer.data["verdict"]))
    return "whole, read exactly" if is_whole else "spoilt, read"


def _check_long(path: str, asked: Asked, whole: Verdict) -> None:
    """Read it as a long file too: the verdict may be stricter then and is never milder."""
    long = long_files.long_file(path, asked)
    if long is None:
        return
    question = Question(JUDGED.limits, JUDGED.accuracy_mc)
    try:
        folded, rest = long_files.told(long, question, 83.144, None)
    except NotPlainError:
        return
    measured = (folded.interval_ms, folded.half_step_mc)
    found = long_reading(long.beginning, rest, folded.answer, measured, JUDGED)
    if _STRICTNESS.index(found.record.verdict) < _STRICTNESS.index(whole):
        raise AssertionError(f"long: {found.record.verdict}, in memory: {whole}")


def _readings(read: LoggerFile) -> tuple[tuple[int, int], ...]:
    found = read.record.readings
    return tuple(
        (int(at), int(temp)) for at, temp in zip(found.at_ms, found.temp_mc, strict=True)
    )


def _hung(_signal: int, _frame: object) -> None:
    raise HungError(f"more than {MOST_SECONDS} s of the processor")


def _memory_kb() -> int:
    return resource.getrusage(resource.RUSAGE_SELF).ru_maxrss


def _asked() -> argparse.Namespace:
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--seconds", type=int, default=600)
    parser.add_argument("--seed", type=int, default=28)
    parser.add_argument("--no-page", action="store_true")
    return parser.parse_args()


def _counts(asked: argparse.Namespace, tally: Tally) -> list[str]:
    return [
        f"* seconds: {asked.seconds}, seed {asked.seed}",
        f"* files: {tally.files.total():,}",
        *(f"* {what}: {count:,}" for what, count in sorted(tally.files.items())),
        f"* uncaught errors, hangs, wrong readings: {len(tally.failed)}",
        f"* slowest file: {tally.slowest_s:.2f} s of the processor (limit {MOST_SECONDS} s)",
        f"* most memory: {_memory_kb() // 1024} MiB (limit {MOST_MEMORY_KB // 1024} MiB)",
    ]


def _commit() -> str:
    done = subprocess.run(
        ["git", "rev-parse", "--short", "HEAD"],  # noqa: S607  the one on the path
        capture_output=True,
        text=True,
        check=False,
        cwd=PAGE.parent,
    )
    return done.stdout.strip() or "?"


def _write_page(asked: argparse.Namespace, lines: list[str], commit: str) -> None:
    text = "\n".join(
        [
            "---\norphan: true\n---",
            "# Random and spoilt logger files",
            "",
            "Written by `make fuzz`; not edited by hand. Three files in ten are whole: they "
            "must be read exactly as they were written, or be asked about. The others are "
            "spoilt: cut, doubled, overwritten. One in a hundred is a workbook; some have two "
            "probes, some the local times of a night on which the clocks change. Each goes the "
            "whole way from the disk to the "
            "answer. Invented files, with the grammar in `tests/exchange/loggers/grammar.py`.",
            "",
            *lines,
            "",
            f"On {now().date().isoformat()} (UTC), {platform.machine()}, Python "
            f"{platform.python_version()}, at commit {commit}. Command: `make fuzz` "
            f"(`run_fuzz.py --seconds {asked.seconds} --seed {asked.seed}`)",
            "",
        ]
    )
    PAGE.write_text(text, encoding="utf-8")


if __name__ == "__main__":
    sys.exit(main())
