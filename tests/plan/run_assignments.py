"""
A million small districts: nobody before their day, no day overfull, none cheaper.

Run by `make assignments`; writes docs/evidence/assignments.md. The first ten thousand in
which everybody can be placed are compared in cost with network simplex, one node a person.
"""

import os
import platform
import sys
import time
from pathlib import Path
from zoneinfo import ZoneInfo

import numpy as np
from tests.plan.instances import FIRST, instance, least_cost

from thawline.adapters.time import now
from thawline.base.instants import local_date
from thawline.plan.places import placed_at_site

RUNS, COMPARED, SEED = 1_000_000, 10_000, 28
EVIDENCE = Path("docs/evidence/assignments.md")


def main() -> int:
    """Run, count, write the evidence; fail on a single breach."""
    dice, began = np.random.default_rng(SEED), time.monotonic()
    early = overfull = dearer = compared = people = 0
    for _ in range(RUNS):
        made = instance(dice, window=20)
        found = placed_at_site(made.waiting, FIRST, made.region.capacity[0])
        placed = found.has_place
        days = found.day[placed]
        early += bool((days < made.waiting.earliest[placed]).any())
        overfull += bool((np.bincount(days - FIRST, minlength=9)[: len(made.region.capacity[0])]
                          > made.region.capacity[0]).any())  # fmt: skip
        people += len(placed)
        if compared < COMPARED and placed.all():
            compared += 1
            waited = int((days - made.waiting.earliest[placed]).sum())
            dearer += waited != least_cost(made)[0]
    page = f"""# A million assignments of second doses

`make assignments`, {local_date(now(), ZoneInfo("UTC")).isoformat()}, {os.cpu_count()} cores, \
Python {platform.python_version()}, seed {SEED}, {time.monotonic() - began:.0f} s.

| | |
|---|---|
| instances | {RUNS:,} with {people:,} people |
| somebody before their day | {early} |
| a day overfull | {overfull} |
| compared with network simplex | {compared:,} |
| another cost than the optimum | {dearer} |
"""
    EVIDENCE.write_text(f"---\norphan: true\n---\n{page}")
    sys.stdout.write(page)
    return int(bool(early or overfull or dearer))


if __name__ == "__main__":
    sys.exit(main())
