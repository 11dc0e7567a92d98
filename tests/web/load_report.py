"""What a run of the load has shown, as the page in docs/evidence that says so."""

import os
import platform
import subprocess
from collections import Counter
from typing import NamedTuple

from thawline.adapters.time import now

_SHARES = (("median", 0.5), ("90 %", 0.9), ("99 %", 0.99), ("longest", 1.0))
_GOOD = {200, 304, 503}
_BUSY = 503
PROMISED_MS = 100
"""At the rate that is asked, 99 % of the answers come within this, and nobody is told 503."""
_KINDS = ("a page", "not changed", "the state", "an act", "told 503")


class Part(NamedTuple):
    """One part of the run; `times` in seconds by kind, `unsure` what no receipt came for."""

    name: str
    seconds: float
    rate: float
    took: float
    processor_s: float
    times: dict[str, list[float]]
    statuses: Counter
    receipts: int
    lost: int
    doubled: int
    unsure: list
    is_promised: bool = False

    @property
    def errors(self) -> int:
        """Return the answers that were neither good nor a 503."""
        return sum(n for status, n in self.statuses.items() if status not in _GOOD)

    @property
    def has_failed(self) -> bool:
        """Say whether anything went wrong that may not."""
        wrong = self.lost or self.doubled or self.errors or not self.receipts
        return bool(wrong or self.missed)

    @property
    def missed(self) -> list[str]:
        """Return what was promised of this part and not kept; nothing where nothing was."""
        if not self.is_promised:
            return []
        every = [t for found in self.times.values() for t in found]
        late, told = share(every, 0.99), self.statuses[_BUSY]
        return [
            *([f"{told} were told 503, not 0"] if told else []),
            *([f"99 % took {late:.1f} ms, not {PROMISED_MS}"] if late > PROMISED_MS else []),
        ]


def share(found: list[float], at: float) -> float:
    """Return the value that so large a share of them does not exceed, in milliseconds."""
    return sorted(found)[min(len(found) - 1, int(at * len(found)))] * 1000


def report(parts: list[Part], syncs: list[float], crew: tuple[int, ...]) -> str:
    """Return the page."""
    tablets, preparers, vaccinators, leads, seed = crew
    median, late = syncs[len(syncs) // 2], syncs[int(0.99 * len(syncs))]
    at = f"{now():%Y-%m-%d}, {os.cpu_count()} cores, {platform.machine()}"
    head = f"""---
orphan: true
---
# Load

Run with `make load` on {at},
Python {platform.python_version()}, at commit {_commit()}, seed {seed}. The load and the server
share the machine, and others may have worked on it: the load average over the last minute was
{os.getloadavg()[0]:.1f} at the end. The machine's own `fdatasync` of 4 KiB, measured 400 times
between the two parts: median {median:.2f} ms, 99 % {late:.2f} ms.

The mix: {tablets} tablets whose TLS lines stay open, each with somebody of its own logged in.
{preparers} at ten draw tables open vials and draw from them, {vaccinators} at chairs record the
drawn doses as given, {leads} of leads only look. 30 % of what is asked are acts while there is
something to press, each on the disk before it is answered. The rest are looks, in equal parts:
at the own screen, at Vials, and at the state or, for leads, at Close-out; with the tag of the
last answer, as the page's own script sends it. A real tablet looks once in two seconds at its
own screen: the tablets here ask four times as often. Times count from when a request was due,
so that waiting counts.
"""
    return head + "".join(_part(each) for each in parts)


def _part(part: Part) -> str:
    every = [t for found in part.times.values() for t in found]
    rows = [("all", every), *((kind, part.times.get(kind, [])) for kind in _KINDS)]
    lines = [
        f"\n## {part.name}: {part.rate:g} requests a second for {part.seconds:g} s\n",
        f"{len(every)} requests were answered, the last {part.took:.1f} s after the start; by "
        f"status {_counted(part.statuses)}. Errors: {part.errors}.",
        f"The server used {part.processor_s:.1f} s of one core for them, "
        f"{1000 * part.processor_s / max(1, len(every)):.1f} ms each.",
        f"Afterwards {part.receipts} receipts were looked for in the ledger: "
        f"{part.lost} lost, {part.doubled} doubled.\n",
        "| kind | requests | " + " | ".join(f"{name}, ms" for name, _ in _SHARES) + " |",
        "|---|---|" + "---|" * len(_SHARES),
        *(_row(kind, found) for kind, found in rows if found),
    ]
    if part.is_promised:
        lines.append(f"\n**Missed**: {'; '.join(part.missed)}." if part.missed else "\nKept.")
    if part.unsure:
        lines.append(f"\nFirst of {len(part.unsure)} acts that were refused: {part.unsure[0]}.")
    return "\n".join(lines) + "\n"


def _row(kind: str, found: list[float]) -> str:
    shown = " | ".join(f"{share(found, at):.1f}" for _, at in _SHARES)
    return f"| {kind} | {len(found)} | {shown} |"


def _counted(statuses: Counter) -> str:
    return ", ".join(f"{status}: {n}" for status, n in sorted(statuses.items()))


def _commit() -> str:
    words = ["git", "rev-parse", "--short", "HEAD"]
    return subprocess.run(words, capture_output=True, text=True, check=True).stdout.strip()  # noqa: S603
