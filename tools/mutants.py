"""
Breaks the deciding code in many places, one at a time, and counts the breaks a test notices.

Run by `make mutants`; writes docs/evidence/mutants.md and fails where a room has less than is
promised. `mutmut show NAME` prints a break that nobody noticed.
"""

import os
import platform
import re
import subprocess
import sys
from collections import Counter, defaultdict
from datetime import UTC, datetime
from pathlib import Path

PROMISED_PERCENT = 90
ROOMS = ("rules", "ledger", "vial", "account", "rebook")
NOTICED = {"killed", "timeout", "suspicious", "caught by type check", "segfault"}
EVIDENCE = Path("docs/evidence/mutants.md")
_LINE = re.compile(r"\s*thawline\.(\w+)\.\S+: (.+)")


def main() -> int:
    """Run, count by room, write the evidence."""
    mutmut = str(Path(sys.executable).with_name("mutmut"))
    processes = str(os.cpu_count() or 1)
    if "--count-only" not in sys.argv:
        subprocess.run([mutmut, "run", "--max-children", processes], check=False)
    listed = subprocess.run(
        [mutmut, "results", "--all", "true"], capture_output=True, text=True, check=True
    ).stdout
    counts: dict[str, Counter[str]] = defaultdict(Counter)
    for line in listed.splitlines():
        if found := _LINE.fullmatch(line):
            counts[found.group(1)][found.group(2).strip()] += 1
    shares = {room: _share(counts[room]) for room in ROOMS}
    EVIDENCE.parent.mkdir(parents=True, exist_ok=True)
    EVIDENCE.write_text(_page(counts, shares, processes))
    sys.stdout.write(EVIDENCE.read_text())
    return int(any(share < PROMISED_PERCENT for share in shares.values()))


def _share(statuses: Counter[str]) -> float:
    whole = sum(statuses.values())
    noticed = sum(count for status, count in statuses.items() if status in NOTICED)
    return 100 * noticed / whole if whole else 0.0


def _page(counts: dict[str, Counter[str]], shares: dict[str, float], processes: str) -> str:
    rows = [
        f"| {room} | {sum(counts[room].values())} | "
        f"{sum(n for status, n in counts[room].items() if status in NOTICED)} | "
        f"{shares[room]:.1f} % |"
        for room in ROOMS
    ]
    other = Counter(
        {
            status: sum(counts[room][status] for room in ROOMS)
            for room in ROOMS
            for status in counts[room]
            if status not in NOTICED
        }
    )
    unnoticed = ", ".join(f"{status} {count}" for status, count in sorted(other.items()))
    return "\n".join(
        [
            "# Breaks that the tests notice",
            "",
            f"`make mutants`, {datetime.now(UTC).date().isoformat()}, {processes} cores, "
            f"Python {platform.python_version()}; every break that mutmut makes, none left "
            "out. No seed: the breaks are the same each time.",
            "",
            "| room | breaks | noticed | share |",
            "|---|---|---|---|",
            *rows,
            "",
            f"Not noticed: {unnoticed or 'none'}. Promised: {PROMISED_PERCENT} % in each room.",
            "",
        ]
    )


if __name__ == "__main__":
    sys.exit(main())
