"""
How fast this machine keeps a ledger and reads a logger: each figure beside the one to hold.

The disk's own sync stands beside the appends, because no durable write is faster than it. Run
it on a quiet machine: `make bench`, or `benchmarks/run.py 100000` for a smaller ledger.
"""

import compileall
import gc
import os
import subprocess
import sys
from collections.abc import Callable, Iterator
from concurrent.futures import ThreadPoolExecutor
from dataclasses import dataclass
from datetime import timedelta
from pathlib import Path
from statistics import median, quantiles
from tempfile import TemporaryDirectory
from time import perf_counter

import flow
import staffings
from logger_files import compared
from million import SITE, START, act, events, make
from openings import DAY_S, measured
from second_doses import main as second_doses

import thawline
from thawline.adapters.db import connections, schema
from thawline.adapters.db.book import Book
from thawline.adapters.db.ledger import DbLedger
from thawline.adapters.db.projections import folded
from thawline.adapters.db.writer import GroupWriter
from thawline.adapters.wiring import FOLDS
from thawline.base.instants import Instant
from thawline.ledger.entries import Decision
from thawline.vial.folds import VIAL

ENTRIES = 1_000_000
SYNCS, SINGLE, GROUPED, TABLETS, ANSWERS = 200, 500, 5_000, 50, 9
FOLD_S, SAVED_S, CLI_S, DEMO_S, FIRST_S = 5.0, 0.1, 0.3, 60.0, 3.0
REPLAYED = ["--site", "harrowmint", "--day", "2026-02-03"]
BLOCK = bytes(4096)


@dataclass(frozen=True)
class Row:
    """One line of the table; `most_s` is the figure to hold, None where there is none."""

    what: str
    found: str
    seconds: float | None = None
    most_s: float | None = None

    @property
    def held(self) -> bool:
        """Say whether the figure is held; true where there is none."""
        return self.most_s is None or (self.seconds or 0) <= self.most_s


def main(entries: int = ENTRIES) -> int:
    """Measure, print the table, and return 1 if a figure is missed."""
    rows = [*_disk(), *_appends(), *_folds(entries), *_answers(), *_demo(), *_openings()]
    print(f"{'what':<46}{'found':<34}{'to hold':<10}")
    for row in rows:
        target = "" if row.most_s is None else f"{row.most_s:g} s"
        print(
            f"{row.what:<46}{row.found:<34}{target:<10}{'' if row.held else 'MISSED'}".rstrip()
        )
    print(f"ten million additions in plain Python: {_pulse():.2f} s")
    print(f"{os.cpu_count()} cores, load {os.getloadavg()[0]:.1f}, Python {sys.version[:6]}")
    missed = int(not all(row.held for row in rows))
    return max(missed, compared(), second_doses(), flow.compared(), staffings.compared())


def _pulse() -> float:
    """Return how fast this machine is at the moment, in seconds; the same loop every time."""

    def add() -> None:
        total = 0
        for number in range(10_000_000):
            total += number

    return min(_timed(add) for _ in range(3))


def _disk() -> Iterator[Row]:
    with TemporaryDirectory() as scratch, (Path(scratch) / "block").open("wb") as file:
        times = []
        for _ in range(SYNCS):
            file.write(BLOCK)
            file.flush()
            times.append(_timed(lambda: os.fdatasync(file.fileno())))
    yield Row("fdatasync of this disk, 4 KiB appended", _spread(times))


def _appends() -> Iterator[Row]:
    asked = list(events(SINGLE + GROUPED))
    with TemporaryDirectory() as scratch:
        schema.create(Path(scratch), SITE)
        ledger = DbLedger(Path(scratch), FOLDS)
        times = [_timed(lambda n=n: _record(ledger, n, asked)) for n in range(SINGLE)]
        yield Row("one act, on the disk when answered", _spread(times))
        writer = GroupWriter(ledger)
        numbers = range(SINGLE, SINGLE + GROUPED)
        with ThreadPoolExecutor(TABLETS) as tablets:
            took = _timed(
                lambda: list(tablets.map(lambda n: _record(writer, n, asked), numbers))
            )
        writer.close()
        ledger.close()
    yield Row(f"acts of {TABLETS} tablets, in groups", f"{GROUPED / took:,.0f} a second")
    yield Row("the same, one after another", f"{1 / median(times):,.0f} a second")


def _record(ledger: DbLedger | GroupWriter, number: int, asked: list) -> None:
    at = Instant(START + timedelta(seconds=number))
    ledger.record(act(number + 1, at), lambda _: Decision(asked[number]))


def _folds(entries: int) -> Iterator[Row]:
    with TemporaryDirectory() as scratch:
        folder = Path(scratch)
        _talk(f"making a ledger of {entries:,} entries")
        make(folder, entries)
        connection = connections.reader(folder / schema.LEDGER)
        book = Book(connection)
        took = _timed(lambda: folded(book, (VIAL,)))
        yield Row(
            f"fold of {entries:,} entries from disk: vials", f"{took:.2f} s", took, FOLD_S
        )
        took = _timed(lambda: folded(book, FOLDS))
        yield Row(f"the same, all {len(FOLDS)} kinds of things", f"{took:.2f} s")
        connection.close()
        _talk("saving the states")
        ledger = DbLedger(folder, FOLDS)
        with ledger.view():
            pass
        ledger.close()
        took = _timed(lambda: _one_state(folder))
        yield Row("the same from saved states", f"{took * 1000:.1f} ms", took, SAVED_S)
        ledger = DbLedger(folder, FOLDS)
        times = [_timed(lambda n=n: _late_act(ledger, entries + n)) for n in range(1, 101)]
        yield Row("one act on top of it", _spread(times))
        _talk("verifying it")
        took = _timed(lambda: _in_order(ledger))
        yield Row("verifying all of it", f"{took:.1f} s")
        ledger.close()


def _one_state(folder: Path) -> None:
    ledger = DbLedger(folder, FOLDS)
    with ledger.view() as view:
        assert view.one(VIAL, "V000001") is not None  # noqa: S101
    ledger.close()


def _in_order(ledger: DbLedger) -> None:
    findings = ledger.verify(None).findings
    assert not findings, findings  # noqa: S101 - or the figures mean nothing


def _late_act(ledger: DbLedger, number: int) -> None:
    at = Instant(START + timedelta(seconds=number))
    event = next(iter(events(3)))
    ledger.record(act(number, at), lambda _: Decision(event))


def _answers() -> Iterator[Row]:
    """Yield how long questions take as installed: with the modules' bytecode in place."""
    program = Path(sys.executable).with_name("thawline")
    compileall.compile_dir(Path(thawline.__file__).parent, quiet=1)
    with TemporaryDirectory() as home:
        words = [str(program), "--home", home]
        by = ["--by", "Rowan Thistle"]
        _run([*words, "site", "new", "harrowmint", "--zone", "America/Chicago"])
        _run([*words, "protocol", "adopt", "published-2022", *by])
        _run([*words, "dose", "told", "DEMO-000001", "2026-02-03", *by])
        for question in (["journal", "list"], ["journal", "verify"], ["second", "due"]):
            times = [_timed(lambda q=question: _run([*words, *q])) for _ in range(ANSWERS)]
            took = median(times)
            yield Row(f"thawline {' '.join(question)}", f"{took:.3f} s", took, CLI_S)


def _demo() -> Iterator[Row]:
    program = Path(sys.executable).with_name("thawline")
    with TemporaryDirectory() as home:
        words = [str(program), "--home", f"{home}/demo"]
        took = _timed(lambda: _run([*words, "demo"]))
        yield Row("the demo, built and shown", f"{took:.1f} s", took, DEMO_S)
        for question in (["day"], ["change", "--draw-table", "11:30"]):
            asked = [*words, "replay", *question, *REPLAYED]
            took = median(_timed(lambda a=asked: _run(a)) for _ in range(ANSWERS))
            yield Row(f"thawline replay {question[0]}", f"{took:.2f} s", took, FIRST_S)
        nothing = {"NUMBA_CACHE_DIR": f"{home}/nothing"}
        took = _timed(lambda: _run(asked, nothing))
        yield Row("the same before anything is compiled", f"{took:.1f} s")


def _openings() -> Iterator[Row]:
    day, hour = measured()
    yield Row("opening policy of a day, warm", f"{day * 1000:.1f} ms", day, DAY_S)
    yield Row("last vial of an hour, warm", f"{hour * 1000:.1f} ms")


def _run(words: list[str], besides: dict[str, str] | None = None) -> None:
    surroundings = {**os.environ, **(besides or {})}
    subprocess.run(words, check=True, capture_output=True, env=surroundings)  # noqa: S603  ours


def _timed(what: Callable[[], object]) -> float:
    gc.collect()
    start = perf_counter()
    what()
    return perf_counter() - start


def _spread(times: list[float]) -> str:
    hundredths = quantiles(times, n=100)
    return f"p50 {hundredths[49] * 1000:.2f} ms, p99 {hundredths[98] * 1000:.2f} ms"


def _talk(says: str) -> None:
    if sys.stderr.isatty():
        print(f"{says} ...", file=sys.stderr)


if __name__ == "__main__":
    sys.exit(main(*map(int, sys.argv[1:])))
