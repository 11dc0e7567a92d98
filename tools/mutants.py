"""
Breaks the deciding code in many places, one at a time, and counts the breaks a test notices.

Run by `make mutants`; writes docs/evidence/mutants.md and fails where a room has less than is
promised. `mutmut show NAME` prints a break that nobody noticed. A run that was stopped goes on
where it was and tries again what nobody noticed; `rm -r mutants` begins anew. --count-only
counts what the last run left.
"""

import os
import platform
import re
import subprocess
import sys
from collections import Counter, defaultdict
from collections.abc import Mapping
from datetime import UTC, datetime
from pathlib import Path

PROMISED_PERCENT = {
    **dict.fromkeys(("rules", "ledger", "vial", "account"), 90),
    **dict.fromkeys(("rebook", "screen", "give", "observe"), 95),
}
FAILED = "killed"  # a test failed
ENDLESS = "timeout"  # the tests took more than 15 times as long as they do
BREAKS = Path("mutants")
EVIDENCE = Path("docs/evidence/mutants.md")
KEPT = "A function that had not changed kept what was noticed earlier in the same checkout."
_LINE = re.compile(r"\s*thawline\.(\w+)\.\S+: (.+)")

Counts = Mapping[str, Counter[str]]


def main() -> int:
    """Run, count by room, write the evidence."""
    mutmut = str(Path(sys.executable).with_name("mutmut"))
    processes = str(os.cpu_count() or 1)
    kept = BREAKS.exists()
    if "--count-only" not in sys.argv:
        subprocess.run([sys.executable, "tools/breaks.py", processes], check=True)
    listed = _printed(mutmut, "results", "--all", "true")
    counts = counted(listed)
    EVIDENCE.write_text(page(counts, _where(processes), kept=kept))
    sys.stdout.write(EVIDENCE.read_text())
    return int(any(share(counts[room]) < least for room, least in PROMISED_PERCENT.items()))


def counted(listed: str) -> Counts:
    """Return how many breaks of each room ended how, from the list that mutmut prints."""
    counts: dict[str, Counter[str]] = defaultdict(Counter)
    for line in listed.splitlines():
        if found := _LINE.fullmatch(line):
            counts[found.group(1)][found.group(2).strip()] += 1
    return counts


def share(endings: Counter[str]) -> float:
    """
    Return how many in a hundred breaks are noticed; of no breaks, none.

    Anything but a failed test or an endless one counts against the tests: a break that no test
    reaches, that was not tried or that ended in a way nobody can read.
    """
    return 100 * (endings[FAILED] + endings[ENDLESS]) / max(endings.total(), 1)


def _printed(*command: str) -> str:
    return subprocess.run(command, capture_output=True, text=True, check=True).stdout


def _where(processes: str) -> str:
    commit = _printed("git", "rev-parse", "--short", "HEAD").strip()
    changed = _printed("git", "status", "--porcelain", "--", "src", "tests").strip()
    beside = " with changes beside it" if changed else ""
    return (
        f"{datetime.now(UTC).date().isoformat()}, {processes} cores, "
        f"Python {platform.python_version()}, commit {commit}{beside}"
    )


def page(counts: Counts, where: str, *, kept: bool) -> str:
    """Return the evidence as a page."""
    rows = [
        f"| {room} | {counts[room].total():,} | {counts[room][FAILED]:,} | "
        f"{counts[room][ENDLESS]:,} | {_left(counts[room]):,} | {share(counts[room]):.1f} % | "
        f"{least} % |"
        for room, least in PROMISED_PERCENT.items()
    ]
    endings = sum((counts[room] for room in PROMISED_PERCENT), Counter[str]())
    unnoticed = ", ".join(
        f"{ending} {count:,}"
        for ending, count in sorted(endings.items())
        if ending not in {FAILED, ENDLESS}
    )
    return "\n".join(
        [
            "---",
            "orphan: true",
            "---",
            "# Breaks that the tests notice",
            "",
            f"Written by `make mutants`: {where}.",
            "Every break that mutmut makes is counted, none left out. No seed: the breaks are "
            "the same each time.",
            *([KEPT] if kept else []),
            "",
            "| room | breaks | a test failed | tests never ended | not noticed | noticed | "
            "promised |",
            "|---|---|---|---|---|---|---|",
            *rows,
            "",
            f"Not noticed: {unnoticed or 'none'}.",
            "",
        ]
    )


def _left(endings: Counter[str]) -> int:
    return endings.total() - endings[FAILED] - endings[ENDLESS]


if __name__ == "__main__":
    sys.exit(main())
