"""
Flips single bits in a ledger's files and looks whether anything that counts changed unseen.

A flip is harmless where it lies in free bytes: then every row is as before. It is mended where
it lies in the note of how far a fold has come and what its states look like: then that fold is
folded anew before anybody reads it. A flip after which a row is different, or gone, and nobody
notices, is silent, and there must be none.
"""

from dataclasses import dataclass, field
from pathlib import Path
from random import Random
from shutil import copytree
from tempfile import TemporaryDirectory

import apsw
from tests.acts import FLAGS, WHERE, act, corrects, instead, moved, refuses, says
from tests.fakes import SITE

from thawline.adapters.db.ledger import DbLedger
from thawline.adapters.db.schema import LEDGER, create
from thawline.adapters.keys import make_keys, site_checker, site_key
from thawline.base.errors import RefusedError, ThawlineError
from thawline.ledger.entries import Kind

FOLDS = (WHERE, FLAGS)
LOG = f"{LEDGER}-wal"


@dataclass
class Tally:
    """What became of the flips."""

    flips: int = 0
    noticed: int = 0
    harmless: int = 0
    mended: int = 0
    silent: list[str] = field(default_factory=list)


def flip(times: int, file: str, seed: int = 28) -> Tally:
    """Flip so many single bits in the ledger's file or its log, one at a time."""
    dice = Random(seed)  # noqa: S311 - the same bits each time
    tally = Tally()
    with TemporaryDirectory() as scratch:
        genuine = Path(scratch) / "genuine"
        genuine.mkdir()
        _write(genuine, copied_back=file == LEDGER)
        before = _rows(_copy(genuine, Path(scratch) / "look"))
        size = (genuine / file).stat().st_size
        for number in range(times):
            place = (dice.randrange(size), dice.randrange(8))
            spoilt = _copy(genuine, Path(scratch) / f"spoilt-{number}")
            _flip(spoilt / file, *place)
            _judge(spoilt, before, tally, f"byte {place[0]} bit {place[1]} of {file}")
    return tally


def _write(folder: Path, *, copied_back: bool) -> None:
    make_keys(folder / "keys")
    create(folder, SITE)
    ledger = DbLedger(folder, FOLDS, signer=site_key(folder / "keys").sign)
    for number in range(1, 31):
        ledger.record(act(number), says(moved("HK47M", "CM62T", to="table")))
    ledger.record(act(31), says(corrects(4, **instead(moved("RA93P")))))
    try:
        ledger.record(act(32, kind=Kind.COMMAND), refuses)
    except RefusedError:
        ledger.sign_head()
    ledger.record(act(33), says(moved("TW28C")))
    ledger.close()
    if copied_back:
        connection = apsw.Connection(str(folder / LEDGER))
        connection.pragma("journal_mode")  # reads the file; before that it knows of no log
        connection.wal_checkpoint(mode=apsw.SQLITE_CHECKPOINT_TRUNCATE)
        connection.close()


def _copy(folder: Path, to: Path) -> Path:
    return copytree(folder, to)


def _flip(path: Path, at: int, bit: int) -> None:
    held = bytearray(path.read_bytes())
    held[at] ^= 1 << bit
    path.write_bytes(held)


def _judge(folder: Path, before: dict, tally: Tally, where: str) -> None:
    tally.flips += 1
    if _is_noticed(folder):
        tally.noticed += 1
    elif _rows(folder) == before:
        tally.harmless += 1
    elif _is_mended(folder, before):
        tally.mended += 1
    else:
        tally.silent.append(where)


def _is_noticed(folder: Path) -> bool:
    try:
        ledger = DbLedger(folder, FOLDS)
        findings = ledger.verify(site_checker(folder / "keys")).findings
        ledger.close()
    except ThawlineError:
        return True
    return bool(findings)


def _is_mended(folder: Path, before: dict) -> bool:
    """Say whether only the note of a fold had changed, and reading once makes all as it was."""
    ledger = DbLedger(folder, FOLDS)
    with ledger.view():
        pass
    ledger.close()
    return {**_rows(folder), "folded": None} == {**before, "folded": None}


def _rows(folder: Path) -> dict[str, list]:
    connection = apsw.Connection(str(folder / LEDGER))
    named = "SELECT name FROM sqlite_schema WHERE type = 'table'"
    rows = {
        name: list(connection.execute(f"SELECT * FROM {name}"))  # noqa: S608
        for (name,) in connection.execute(named)
    }
    connection.close()
    return rows
