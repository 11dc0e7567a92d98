"""
A site's folder made from a backup.

Everything is unpacked and looked through beside the site first, and the entry that begins the
new epoch is written there. Only then do the folders change places; the old one is kept.
"""

from pathlib import Path
from shutil import copyfile
from uuid import UUID

import apsw

from thawline.adapters.db import connections, schema
from thawline.adapters.db.backup import BACKUPS, KEYS, OPENS_IT, head_of, sweep, unpacked
from thawline.adapters.db.book import Book
from thawline.adapters.db.identity import IDENTITY
from thawline.adapters.db.ledger import DbLedger
from thawline.adapters.db.lock import held
from thawline.adapters.keys import read_key, site_checker, site_key
from thawline.app.backup import Here, Restoring, begin_epoch, may_restore
from thawline.base.errors import BusyError, RecordError
from thawline.ledger.entries import Head, Receipt
from thawline.ledger.folding import Folds

_BESIDE = ".restoring"
_ASIDE = ".replaced"
_WAIT_S = connections.WAIT_MS / 1000


def restore(
    path: Path, folder: Path, folds: Folds, opens_it: Path, restoring: Restoring
) -> Receipt:
    """
    Make a site's folder from a backup; return the receipt of the entry that begins the epoch.

    Args:
        path: The backup.
        folder: The site's folder; one that stands there is put aside, with all that is in it.
        folds: Those whose states are kept.
        opens_it: The file of the key that opens the backup; it becomes the site's own.
        restoring: Who, when and why.

    Raises:
        RecordError: The backup is damaged or another site's.
        RefusedError: Newer entries would be put aside, and nobody said that they may be.
        BusyError: Another program has the site open.
    """
    beside = folder.parent / _BESIDE
    beside.mkdir(mode=0o700, parents=True, exist_ok=True)
    with held(beside, _WAIT_S):
        sweep(beside)
        with unpacked(path, read_key(opens_it), beside) as (fresh, cover):
            _look_through(fresh, folds)
            may_restore(_here(folder, fresh), UUID(cover.site), head_of(cover), restoring)
            receipt = _begun(fresh, folds, head_of(cover), restoring)
            _own_key(opens_it, fresh / KEYS)
            _change_places(folder, fresh, restoring)
    return receipt


def _begun(fresh: Path, folds: Folds, parent: Head, restoring: Restoring) -> Receipt:
    ledger = DbLedger(fresh, folds, signer=site_key(fresh / KEYS).sign)
    receipt = begin_epoch(ledger, parent, restoring)
    ledger.sign_head()
    ledger.close()
    return receipt


def _look_through(fresh: Path, folds: Folds) -> None:
    ledger = DbLedger(fresh, folds)
    findings = ledger.verify(site_checker(fresh / KEYS)).findings
    ledger.close()
    if findings:
        raise RecordError(
            f"the backup cannot be restored: {findings[0].says}", advice="use another backup"
        )


def _here(folder: Path, fresh: Path) -> Here | None:
    if not (folder / schema.LEDGER).exists():
        return None
    here, there = (connections.reader(each / schema.LEDGER) for each in (folder, fresh))
    try:
        ours, theirs = Book(here), Book(there)
        head, site = ours.head(), ours.site
        both = min(head.seq, theirs.head().seq)
        agrees = both == 0 or ours.row(both).hash == theirs.row(both).hash
        return Here(site, head, agrees)
    except (apsw.Error, RecordError):
        return Here(None, None, agrees=False)
    finally:
        here.close()
        there.close()


def _own_key(opens_it: Path, keys: Path) -> None:
    copyfile(opens_it, keys / OPENS_IT)
    (keys / OPENS_IT).chmod(0o600)


def _change_places(folder: Path, fresh: Path, restoring: Restoring) -> None:
    if folder.exists():
        aside = folder.parent / _ASIDE / f"{folder.name}-{restoring.at:%Y%m%dT%H%M%S}Z"
        aside.parent.mkdir(mode=0o700, exist_ok=True)
        with held(folder, _WAIT_S):
            for name in (schema.LEDGER, IDENTITY):
                _alone_with(folder / name)
            folder.rename(aside)
            fresh.rename(folder)
        (aside / BACKUPS).rename(folder / BACKUPS)
    else:
        fresh.rename(folder)
        (folder / BACKUPS).mkdir()


def _alone_with(path: Path) -> None:
    """Take the log into the file, which only works while nobody else has it open."""
    connection = connections.writer(path)
    try:
        connection.pragma("journal_mode", "delete")
    except apsw.BusyError as error:
        raise BusyError(
            "another program has the site open; nothing was restored",
            advice="end it, then repeat the command",
        ) from error
    except (apsw.CorruptError, apsw.NotADBError):
        return  # a file that nobody can read is put aside as it is
    finally:
        connection.close()
