"""
Compare the product with the reference on a million random histories: `make histories`.

Prints progress on stderr and the counts on stdout, writes docs/evidence/histories.md, and
ends with 1 when there is any difference.
"""

import argparse
import json
import os
import platform
import subprocess
import sys
from collections.abc import Iterator
from multiprocessing import Pool
from pathlib import Path
from time import monotonic

from tests.reference.comparison import UNSAFE, Tally, compared, smallest, written_out

from thawline.adapters.time import now

PAGE = Path(__file__).parents[2] / "docs" / "evidence" / "histories.md"
CHUNK = 2_000


def main() -> int:
    """Run, print and write down; 1 where anything differs."""
    asked = _asked()
    began, commit = monotonic(), _commit()
    tally = Tally()
    with Pool(asked.processes) as pool:
        for done, part in enumerate(pool.imap_unordered(_chunk, _chunks(asked)), 1):
            tally.add(part)
            _progress(min(done * CHUNK, asked.count), asked.count, monotonic() - began)
    lines = _counts(asked, tally, monotonic() - began)
    sys.stdout.write("\n".join(lines) + "\n")
    for difference in tally.differences:
        example = smallest(tally.examples[difference][0], difference)
        sys.stdout.write(f"\n{difference}\n{json.dumps(written_out(example), indent=1)}\n")
    if not asked.no_page:
        _write_page(asked, lines, commit)
    return 1 if tally.differences else 0


def _asked() -> argparse.Namespace:
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--count", type=int, default=1_000_000)
    parser.add_argument("--seed", type=int, default=28)
    parser.add_argument("--processes", type=int, default=2)
    parser.add_argument("--no-page", action="store_true", help="write no evidence page")
    return parser.parse_args()


def _chunks(asked: argparse.Namespace) -> Iterator[tuple[int, range]]:
    for first in range(0, asked.count, CHUNK):
        yield asked.seed, range(first, min(first + CHUNK, asked.count))


def _chunk(part: tuple[int, range]) -> Tally:
    seed, numbers = part
    return compared(seed, numbers)


def _progress(done: int, count: int, elapsed_s: float) -> None:
    left_s = elapsed_s / done * (count - done)
    told = f"{done:,} of {count:,} histories, about {left_s / 60:.0f} min left"
    if sys.stderr.isatty():
        sys.stderr.write(f"\r{told}   ")
    elif done % (10 * CHUNK) == 0 or done == count:
        sys.stderr.write(f"{told}\n")


def _counts(asked: argparse.Namespace, tally: Tally, elapsed_s: float) -> list[str]:
    others = sorted((n, kind) for kind, n in tally.differences.items() if kind != UNSAFE)
    return [
        f"histories: {asked.count:,}",
        f"answers compared: {tally.answers:,} (of these usable: {tally.usable:,})",
        f"{UNSAFE}: {tally.differences[UNSAFE]:,}",
        *(f"differs in {kind}: {n:,}" for n, kind in reversed(others)),
        f"all other differences: {sum(n for n, _ in others):,}",
        f"histories a second: {asked.count / elapsed_s:,.0f} in {asked.processes} processes",
    ]


def _write_page(asked: argparse.Namespace, lines: list[str], commit: str) -> None:
    command = (
        f"python -m tests.reference.run_histories --count {asked.count} --seed {asked.seed} "
        f"--processes {asked.processes}"
    )
    told = "\n".join(f"* {line}" for line in lines)
    PAGE.parent.mkdir(exist_ok=True)
    PAGE.write_text(
        f"""---
orphan: true
---
# Random histories against the reference

Written by `make histories`; not edited by hand. The reference in `tests/reference` is a second
reading of [the rules of the vial clocks](../background/vial-clocks.md), written from that page
and not from the product. Each history is asked about as drawn and, where use-by is known, again
at it or a millisecond beside it.

{told}

On {now():%Y-%m-%d} (UTC), {_machine()}, at commit {commit}. Command: `{command}`
"""
    )


def _commit() -> str:
    head = ["git", "rev-parse", "--short", "HEAD"]
    return subprocess.run(head, capture_output=True, text=True, check=True).stdout.strip()  # noqa: S603


def _machine() -> str:
    memory_gib = os.sysconf("SC_PAGE_SIZE") * os.sysconf("SC_PHYS_PAGES") / 2**30
    return (
        f"{os.cpu_count()} cores, {memory_gib:.0f} GiB of memory, {platform.machine()}, "
        f"Python {platform.python_version()}"
    )


if __name__ == "__main__":
    sys.exit(main())
