"""
Cuts the power while logger files are kept, and looks whether what was acknowledged is there.

A file counts as acknowledged once `keep` has answered: only then its entry is written.
"""

from hashlib import sha256
from pathlib import Path
from random import Random
from tempfile import TemporaryDirectory

from tests.harness.disks import Answered, RecordingDisk, after_the_cut
from tests.harness.powercuts import Tally

from thawline.adapters.db.place import LOGGER_FILES, READINGS
from thawline.adapters.db.readings import DbReadings
from thawline.base.errors import RecordError
from thawline.store.readings import readings

FILES = (READINGS, f"{READINGS}-wal")


def cut_power_on_readings(
    cuts: int, *, synchronous: str = "FULL", files: int = 25, seed: int = 28
) -> Tally:
    """Keep so many files, cut the power at so many random moments, and look at each."""
    dice = Random(seed)  # noqa: S311 - the same cuts each time
    tally, disk = Tally(), RecordingDisk("recording readings")
    with TemporaryDirectory() as scratch:
        digests = _written(Path(scratch), synchronous, disk, files, dice)
    disk.unregister()
    for number in range(cuts):
        moment = dice.randrange(len(disk.happened) + 1)
        left = after_the_cut({}, disk.happened[:moment], dice)
        answered = [e.number for e in disk.happened[:moment] if isinstance(e, Answered)]
        _look(left, {n: digests[n] for n in answered}, tally, f"seed {seed} cut {number}")
    return tally


def _file(number: int) -> bytes:
    return b"log %d" % number


def _written(folder: Path, synchronous: str, disk: RecordingDisk, files: int, dice: Random):
    store = DbReadings(folder, synchronous=synchronous, vfs=disk.name)
    digests = {}
    for number in range(files):
        first = number * 1_000_000
        count = dice.randrange(1, 3000)
        seen = readings(range(first, first + count), [dice.randrange(9000)] * count)
        held = _file(number)
        digests[number] = store.keep(seen, sha256(held).hexdigest(), [held])
        disk.happened.append(Answered(number))
    return digests


def _look(left, digests, tally: Tally, where: str) -> None:
    tally.cuts += 1
    with TemporaryDirectory() as scratch:
        folder = Path(scratch)
        (folder / LOGGER_FILES).mkdir()
        for name, held in left.items():
            if name in FILES:
                (folder / name).write_bytes(held)
        store = DbReadings(folder)
        gone = [number for number, digest in digests.items() if not _is_there(store, digest)]
        if gone:
            tally.lost += 1
            tally.says.append(f"{where}: acknowledged files are gone: {gone}")


def _is_there(store: DbReadings, digest: str) -> bool:
    try:
        store.get(digest)
    except RecordError:
        return False
    return True
