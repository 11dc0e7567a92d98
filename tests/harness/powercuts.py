"""
Cuts the power at every moment of a site's writing, and looks at what is left.

An act counts as acknowledged once its receipt was given. After each cut every acknowledged act
must be there with that very receipt, the chain and all states must be right, and writing must
go on. `make powercuts` runs it at length; the everyday tests run a few hundred cuts.
"""

from dataclasses import dataclass, field
from pathlib import Path
from random import Random
from tempfile import TemporaryDirectory

import apsw
from tests.acts import FLAGS, WHERE, act, corrects, instead, moved, says
from tests.fakes import SITE
from tests.harness.disks import Answered, RecordingDisk, after_the_cut

from thawline.adapters.db.ledger import DbLedger
from thawline.adapters.db.schema import LEDGER, create
from thawline.base.errors import ThawlineError
from thawline.ledger.events import Noted

FOLDS = (WHERE, FLAGS)
VIALS = ("HK47M", "CM62T", "RA93P", "TW28C")
FILES = (LEDGER, f"{LEDGER}-wal")


@dataclass
class Tally:
    """What the cuts did: how many lost an acknowledged act, and how many broke the ledger."""

    cuts: int = 0
    lost: int = 0
    broken: int = 0
    says: list[str] = field(default_factory=list)


def cut_power(cuts: int, *, synchronous: str = "FULL", acts: int = 60, seed: int = 28) -> Tally:
    """Write `acts` acts, cut the power at so many random moments, and look at each."""
    dice = Random(seed)  # noqa: S311 - the same cuts each time
    tally = Tally()
    disk = RecordingDisk()
    with TemporaryDirectory() as scratch:
        folder = Path(scratch)
        before = _begun(folder, synchronous, disk)
        receipts = _written(folder, synchronous, disk, acts, dice)
        disk.unregister()
        happened = disk.happened
        for number in range(cuts):
            moment = dice.randrange(len(happened) + 1)
            left = after_the_cut(before, happened[:moment], dice)
            answered = [e.number for e in happened[:moment] if isinstance(e, Answered)]
            _look(left, {n: receipts[n] for n in answered}, tally, f"seed {seed} cut {number}")
    return tally


def _begun(folder: Path, synchronous: str, disk: RecordingDisk) -> dict[str, bytes]:
    create(folder, SITE, synchronous=synchronous, vfs=disk.name)
    disk.happened.clear()
    return {name: (folder / name).read_bytes() for name in FILES if (folder / name).exists()}


def _written(folder, synchronous, disk, acts, dice):
    ledger = DbLedger(folder, FOLDS, synchronous=synchronous, vfs=disk.name)
    ledger.pages_before_copy = dice.choice([10, 40, 100])
    receipts = {}
    number = 0
    while number < acts:
        together = range(number + 1, number + 1 + dice.choice([1, 1, 1, 2, 8]))
        asked = [(act(each), says(_event(each, dice))) for each in together]
        receipts.update(zip(together, ledger.record_all(asked), strict=True))
        disk.happened += map(Answered, together)
        number = together[-1]
    ledger.close()
    return receipts


def _event(number: int, dice: Random):
    if number == 1 or dice.random() < 0.8:
        vials = dice.sample(VIALS, dice.randrange(1, 4))
        return moved(*vials, to=dice.choice(["fridge", "table"]))
    if dice.random() < 0.5:
        return corrects(1, **instead(moved(dice.choice(VIALS))))
    return Noted(says="x" * dice.randrange(9000))


def _look(left, receipts, tally: Tally, where: str) -> None:
    tally.cuts += 1
    with TemporaryDirectory() as scratch:
        folder = Path(scratch)
        for name, held in left.items():
            (folder / name).write_bytes(held)
        try:
            _compare(folder, receipts, tally, where)
        except (ThawlineError, apsw.Error) as error:
            tally.broken += 1
            tally.says.append(f"{where}: {error}")


def _compare(folder: Path, receipts, tally: Tally, where: str) -> None:
    ledger = DbLedger(folder, FOLDS)
    findings = ledger.verify(None).findings
    if findings:
        tally.broken += 1
        tally.says.append(f"{where}: {findings[0].says}")
    with ledger.view() as view:
        found = {entry.id.int: entry.hash.hex() for entry in view.entries()}
    gone = [n for n, receipt in receipts.items() if found.get(n) != receipt.hash]
    if gone:
        tally.lost += 1
        tally.says.append(f"{where}: acknowledged acts are gone: {gone}")
    if not findings:
        ledger.record(act(9999), says(moved("HK47M")))
    ledger.close()
