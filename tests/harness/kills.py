"""
Kills processes while they write to a site, and looks at what is left.

Two processes write at once and tell every receipt through a pipe as soon as they have it; then
one of them is killed, the other ends by itself. What was told must be in the ledger, once,
with that receipt. Run as a program this module is such a process.
"""

import sys
from dataclasses import dataclass, field
from pathlib import Path
from random import Random
from signal import SIGKILL
from subprocess import PIPE, Popen
from tempfile import TemporaryDirectory
from time import sleep

from tests.acts import FLAGS, WHERE, act, moved, says
from tests.fakes import SITE

from thawline.adapters.db.ledger import DbLedger
from thawline.adapters.db.schema import create

FOLDS = (WHERE, FLAGS)
ROOT = Path(__file__).parents[2]
LONGEST_S = 0.06
KILLS_A_SITE = 25


@dataclass
class Tally:
    """What the kills did."""

    kills: int = 0
    told: int = 0
    lost: int = 0
    broken: int = 0
    says: list[str] = field(default_factory=list)


def kill(times: int, seed: int = 28) -> Tally:
    """Kill so many writing processes, and look at the ledger after each."""
    dice = Random(seed)  # noqa: S311 - the same moments each time
    tally = Tally()
    while tally.kills < times:
        with TemporaryDirectory() as scratch:
            folder = Path(scratch)
            create(folder, SITE)
            told: dict[int, str] = {}
            for _ in range(min(KILLS_A_SITE, times - tally.kills)):
                _kill_once(folder, told, dice, tally)
    return tally


def _kill_once(folder: Path, told: dict[int, str], dice: Random, tally: Tally) -> None:
    start = 1_000_000 * tally.kills
    victim = _writer(folder, start + 1, how_many=500_000)
    other = _writer(folder, start + 500_001, how_many=20)
    first = victim.stdout.readline()
    sleep(dice.uniform(0, LONGEST_S))
    victim.send_signal(SIGKILL)
    before = len(told)
    for line in (first, *victim.stdout, *other.stdout):
        number, _, hashed = line.strip().partition(" ")
        if hashed.endswith("."):  # a line that the kill cut short was told to nobody
            told[int(number)] = hashed[:-1]
    for process in (victim, other):
        process.stdout.close()
        process.wait()
    tally.kills += 1
    tally.told += len(told) - before
    _compare(folder, told, tally)


def _writer(folder: Path, start: int, how_many: int) -> Popen[str]:
    words = [
        sys.executable,
        "-m",
        "tests.harness.kills",
        str(folder),
        str(start),
        str(how_many),
    ]
    return Popen(words, cwd=ROOT, stdout=PIPE, text=True)  # noqa: S603 - our own words


def _compare(folder: Path, told: dict[int, str], tally: Tally) -> None:
    ledger = DbLedger(folder, FOLDS)
    findings = ledger.verify(None).findings
    with ledger.view() as view:
        found = [(entry.id.int, entry.hash.hex()) for entry in view.entries()]
    ledger.close()
    where = f"after kill {tally.kills}"
    if findings or len(found) != len(dict(found)):
        tally.broken += 1
        tally.says.append(f"{where}: {findings[:1]}")
    gone = [number for number, hashed in told.items() if dict(found).get(number) != hashed]
    if gone:
        tally.lost += 1
        tally.says.append(f"{where}: told and gone: {gone}")


def write(folder: str, start: str, how_many: str) -> None:
    """Write acts and tell each receipt."""
    ledger = DbLedger(Path(folder), FOLDS)
    ledger.pages_before_copy = 20
    for number in range(int(start), int(start) + int(how_many)):
        receipt = ledger.record(act(number, minute=0), says(moved("HK47M")))
        print(f"{number} {receipt.hash}.", flush=True)  # noqa: T201 - the pipe to the killer


if __name__ == "__main__":
    write(*sys.argv[1:])
