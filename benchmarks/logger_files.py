"""
How fast a logger file is read and answered, beside four other tools in one run.

All of them answer the same question of the same file: readings, coldest, warmest, excursions
above and below with a gap ending one, and the time out with each reading kept until the next.
Results must be equal. Each tool runs in a process of its own, pinned to one core, and is timed
from the path of the file to the answer after a first answer on a small file. Ours validates
every line and answers more (bounds, kinetic mean); the others take the layout on trust.
"""

import csv
import json
import os
import re
import resource
import subprocess
import sys
from collections.abc import Callable
from dataclasses import asdict, dataclass
from datetime import UTC, datetime
from decimal import Decimal
from pathlib import Path
from tempfile import TemporaryDirectory
from time import perf_counter, process_time

import numpy as np

READINGS, YEAR = 5_000_000, 105_120
MINUTE_MS, GAP_MS = 60_000, 90_000
LOW, HIGH = 2.0, 8.0
TOOLS = ("thawline", "polars", "duckdb", "pandas", "csv")
REPEATS = {"csv": 1}  # takes long enough to be steady
PER_SECOND, PEAK_MB, FIRST_S = 5_000_000, 200, 0.2


@dataclass(frozen=True)
class Found:
    """The answer of a tool."""

    readings: int
    coldest_mc: int
    warmest_mc: int
    above: int
    below: int
    hold_ms: int


def made(path: Path, readings: int) -> Path:
    """Return the path of a file with a fridge in it: a compressor, warm spells, gaps."""
    dice = np.random.default_rng(28)
    start = np.datetime64("2010-01-01T00:00:00")
    with path.open("w") as file:
        file.write("time,temperature C\n")
        for first in range(0, readings, YEAR):
            place = np.arange(first, min(first + YEAR, readings))
            temps = 5 + 1.2 * np.sin(place / 7) + dice.normal(0, 0.2, len(place))
            temps += np.where(place % 5_000 < 40, place % 5_000 / 8, 0)
            temps -= np.where(place % 33_000 < 9, 6.0, 0)
            # Three minutes go missing every 20,000 readings.
            at = start + (place + 3 * (place // 20_000)).astype("timedelta64[m]")
            stamps = np.datetime_as_string(at, unit="s").tolist()
            file.write(
                "".join(
                    f"{stamp.replace('T', ' ')},{temp:.1f}\n"
                    for stamp, temp in zip(stamps, temps.tolist(), strict=True)
                )
            )
    return path


def thawline(path: Path) -> Found:
    """Answer with the cold store."""
    from thawline.adapters.logger_blocks import FileQuestion, fold_file
    from thawline.exchange.dates import DateOrder
    from thawline.exchange.loggers.layout import Layout, Probe, TimeFormat, Unit
    from thawline.store.exposure import Question
    from thawline.store.limits import between

    time = TimeFormat((0,), DateOrder.YMD, twelve_hours=False, offset_in_text=False, zone=UTC)
    layout = Layout(
        "utf-8", ",", 2, time, (Probe(1, "air", Unit.CELSIUS),), decimal_comma=False
    )
    limits = between(Decimal(str(LOW)), Decimal(str(HIGH)))
    folded = fold_file(path, layout, FileQuestion(Question(limits, 500), 83.144))
    seen, described = folded.answer.exposure, folded.answer.description
    assert folded.reported_count == 0  # noqa: S101 - or the figures mean nothing
    return Found(
        readings=folded.answer.found.raw,
        coldest_mc=round(described.min_c * 1000),
        warmest_mc=round(described.max_c * 1000),
        above=seen.above.excursions,
        below=seen.below.excursions,
        hold_ms=seen.above.hold_ms + seen.below.hold_ms,
    )


def polars(path: Path) -> Found:
    """Answer with polars, the form of the time given."""
    import polars as pl

    frame = pl.scan_csv(
        path, new_columns=["at", "temp"], schema_overrides=[pl.String, pl.Float64]
    )
    at = pl.col("at").str.to_datetime("%Y-%m-%d %H:%M:%S").dt.epoch("ms")
    step = at.shift(-1) - at
    out = {"above": pl.col("temp") > HIGH, "below": pl.col("temp") < LOW}
    new = (at - at.shift(1) > GAP_MS).fill_null(value=True)
    starts = {
        side: (flag & (new | ~flag.shift(1).fill_null(value=False))).sum().alias(side)
        for side, flag in out.items()
    }
    hold = step.filter((out["above"] | out["below"]) & (step <= GAP_MS)).sum()
    row = frame.select(
        pl.len().alias("readings"),
        pl.min("temp").alias("coldest"),
        pl.max("temp").alias("warmest"),
        *starts.values(),
        hold.alias("hold"),
    ).collect()
    return _found(row.row(0, named=True))


def duckdb(path: Path) -> Found:
    """Answer with duckdb, in SQL."""
    import duckdb as db

    query = f"""
        WITH read AS (
            SELECT epoch_ms(seen) AS ms, temp FROM read_csv('{path}', header=true,
                columns={{'seen': 'TIMESTAMP', 'temp': 'DOUBLE'}})
        ), beside AS (
            SELECT *, lag(ms) OVER w AS ms_before, lag(temp) OVER w AS temp_before,
                   lead(ms) OVER w AS ms_after FROM read WINDOW w AS (ORDER BY ms)
        ), flags AS (
            SELECT *, ms_before IS NULL OR ms - ms_before > {GAP_MS} AS parted FROM beside
        )
        SELECT count(*) AS readings, min(temp) AS coldest, max(temp) AS warmest,
               count(*) FILTER (temp > {HIGH} AND (parted OR temp_before <= {HIGH})) AS above,
               count(*) FILTER (temp < {LOW} AND (parted OR temp_before >= {LOW})) AS below,
               sum(ms_after - ms) FILTER (
                   (temp > {HIGH} OR temp < {LOW}) AND ms_after - ms <= {GAP_MS}) AS hold
        FROM flags
    """  # noqa: S608 - our own file and figures
    answer = db.sql(query)
    return _found(dict(zip(answer.columns, answer.fetchall()[0], strict=True)))


def pandas(path: Path) -> Found:
    """Answer with pandas, the form of the time given."""
    import pandas as pd

    frame = pd.read_csv(path, names=["at", "temp"], header=0)
    at = pd.to_datetime(frame["at"], format="%Y-%m-%d %H:%M:%S")
    at = at.to_numpy().astype("datetime64[ms]").astype(np.int64)
    temp = frame["temp"].to_numpy()
    step = np.diff(at)
    gap = step > GAP_MS
    starts = {}
    for side, out in (("above", temp > HIGH), ("below", temp < LOW)):
        starts[side] = int(out[0]) + int((out[1:] & (gap | ~out[:-1])).sum())
    outside = (temp > HIGH) | (temp < LOW)
    return _found(
        {
            "readings": len(temp),
            "coldest": temp.min(),
            "warmest": temp.max(),
            **starts,
            "hold": int(step[outside[:-1] & ~gap].sum()),
        }
    )


def standard_library(path: Path) -> Found:
    """Answer with the csv module."""
    count, hold, starts = 0, 0, [0, 0]
    coldest, warmest = float("inf"), float("-inf")
    at_before, out_before = None, (False, False)
    with path.open(newline="") as file:
        rows = csv.reader(file)
        next(rows)
        for written, number in rows:
            at = round(datetime.fromisoformat(written).replace(tzinfo=UTC).timestamp() * 1000)
            temp = float(number)
            new = at_before is None or at - at_before > GAP_MS
            if not new and any(out_before):
                hold += at - at_before
            out = (temp > HIGH, temp < LOW)
            for side in (0, 1):
                starts[side] += out[side] and (new or not out_before[side])
            count, at_before, out_before = count + 1, at, out
            coldest, warmest = min(coldest, temp), max(warmest, temp)
    return Found(count, round(coldest * 1000), round(warmest * 1000), *starts, hold)


ANSWERS: dict[str, Callable[[Path], Found]] = {
    "thawline": thawline,
    "polars": polars,
    "duckdb": duckdb,
    "pandas": pandas,
    "csv": standard_library,
}


def _found(row: dict) -> Found:
    return Found(
        readings=int(row["readings"]),
        coldest_mc=round(row["coldest"] * 1000),
        warmest_mc=round(row["warmest"] * 1000),
        above=int(row["above"]),
        below=int(row["below"]),
        hold_ms=int(row["hold"]),
    )


def one_tool(tool: str, small: Path, large: Path) -> None:
    """Answer, time the answer and print it as JSON: this is what a child does."""
    os.sched_setaffinity(0, {min(os.sched_getaffinity(0))})
    answer = ANSWERS[tool]
    begun = perf_counter()
    answer(small)
    cold = perf_counter() - begun
    first = min(_timed(lambda: answer(small)) for _ in range(5))[:2]
    times = [_timed(lambda: answer(large)) for _ in range(REPEATS.get(tool, 3))]
    peak = _peak_mb()
    wall, cpu = (min(each[place] for each in times) for place in (0, 1))
    found = times[0][2]
    print(
        json.dumps(
            {
                "wall": wall,
                "cpu": cpu,
                "first": first,
                "cold": cold,
                "peak_mb": peak,
                "found": asdict(found),
            }
        )
    )


def compared(readings: int = READINGS) -> int:
    """Measure every tool, print the table, and return 1 if a figure is missed."""
    with TemporaryDirectory() as scratch:
        small = made(Path(scratch) / "year.csv", YEAR)
        large = made(Path(scratch) / "large.csv", readings)
        size = large.stat().st_size
        compiling = _child("thawline", small, small)["peak_mb"]  # keeps what it has compiled
        answers = {tool: _child(tool, small, large) for tool in TOOLS}
    ours = answers["thawline"]
    print(f"\n{readings:,} readings, {size / 1e6:.0f} MB, on one core; equal answers from all.")
    print("cpu: seconds of the processor, which a busy machine changes less than wall time")
    print(
        f"{'tool':<10}{'wall':>9}{'cpu':>9}{'readings/cpu s':>16}{'cpu: ours is':>15}", end=""
    )
    print(f"{'peak MB':>9}{'a year: wall':>14}{'cpu':>9}")
    for tool, answer in answers.items():
        assert answer["found"] == ours["found"], (tool, answer["found"], ours["found"])  # noqa: S101
        ratio = f"{answer['cpu'] / ours['cpu']:.1f} x faster" if tool != "thawline" else ""
        print(
            f"{tool:<10}{answer['wall']:>7.2f} s{answer['cpu']:>7.2f} s"
            f"{readings / answer['cpu']:>16,.0f}{ratio:>15}{answer['peak_mb']:>9.0f}"
            f"{answer['first'][0]:>12.3f} s{answer['first'][1]:>7.3f} s"
        )
    held = {
        f"{PER_SECOND:,} readings a second of one core": readings / ours["cpu"] >= PER_SECOND,
        f"{PEAK_MB} MB": ours["peak_mb"] < PEAK_MB,
        f"{YEAR:,} readings answered in {FIRST_S} s, warm": ours["first"][1] <= FIRST_S,
    }
    for figure, is_held in held.items():
        print(f"to hold: {figure:<50}{'held' if is_held else 'MISSED'}")
    print(f"first answer of a new process on the year, with its imports: {ours['cold']:.2f} s")
    print(
        f"peak of a process that compiles its kernel first, once a checkout: {compiling:.0f} MB"
    )
    print(f"{os.cpu_count()} cores, load {os.getloadavg()[0]:.1f}, Python {sys.version[:6]}")
    return int(not all(held.values()))


def _child(tool: str, small: Path, large: Path) -> dict:
    words = [sys.executable, __file__, tool, str(small), str(large)]
    settings = {**os.environ, "POLARS_MAX_THREADS": "1"}
    done = subprocess.run(words, env=settings, capture_output=True, check=False)  # noqa: S603
    if done.returncode:
        sys.exit(f"{tool}: {done.stderr.decode()}")
    return json.loads(done.stdout)


def _peak_mb() -> float:
    """Return the most memory this process used; `ru_maxrss` would count the parent's too."""
    try:
        status = Path("/proc/self/status").read_text()
    except OSError:  # not Linux
        return resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1024
    return int(re.search(r"VmHWM:\s+(\d+) kB", status)[1]) / 1024


def _timed(what: Callable[[], Found]) -> tuple[float, float, Found]:
    """Return seconds by the wall clock, seconds of the processor, and the answer."""
    begun, used = perf_counter(), process_time()
    found = what()
    return perf_counter() - begun, process_time() - used, found


if __name__ == "__main__":
    if sys.argv[1:2] and sys.argv[1] in TOOLS:
        one_tool(sys.argv[1], Path(sys.argv[2]), Path(sys.argv[3]))
    else:
        sys.exit(compared(*map(int, sys.argv[1:])))
