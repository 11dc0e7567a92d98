"""What is done with a site's record as a whole: sign the head, back up, restore."""

from pathlib import Path

from thawline.adapters import sites
from thawline.adapters.db import backup, restore
from thawline.adapters.keys import backup_key, read_key
from thawline.adapters.whole_record import record_of
from thawline.adapters.wiring import FOLDS
from thawline.app.backup import Restoring
from thawline.base.instants import Instant
from thawline.ledger.entries import Receipt


def make_backup(folder: Path, at: Instant) -> backup.Backup:
    """Sign the head, make a backup of the site, and look through it."""
    record = record_of(folder)
    record.ledger.sign_head()
    record.ledger.close()
    return backup.make(folder, FOLDS, at, backup_key(folder / sites.KEYS))


def check_backup(path: Path, opens_it: Path) -> backup.Backup:
    """Open a backup with the key in a file, and look through it."""
    return backup.check(path, FOLDS, read_key(opens_it))


def restore_backup(
    path: Path, home: Path, name: str | None, opens_it: Path | None, restoring: Restoring
) -> tuple[Path, Receipt]:
    """
    Restore a backup as the site of that name, or of the name it had; return its folder.

    The key is the site's own where none is given.
    """
    folder = home / sites.SITES / (name or backup.cover_of(path).name)
    opens = opens_it or folder / sites.KEYS / backup.OPENS_IT
    return folder, restore.restore(path, folder, FOLDS, opens, restoring)
