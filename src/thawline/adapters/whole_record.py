"""A site's record as a whole: its ledger, and what checks its signatures."""

from dataclasses import dataclass
from functools import partial
from pathlib import Path

from thawline.adapters import sites
from thawline.adapters.db.heads import Checker
from thawline.adapters.db.ledger import DbLedger
from thawline.adapters.keys import site_checker
from thawline.adapters.wiring import FOLDS, sign


@dataclass(frozen=True, slots=True)
class Record:
    """A site's whole record: its folder, its ledger, and what checks its signatures."""

    folder: Path
    ledger: DbLedger
    is_signed: Checker


def record_of(folder: Path) -> Record:
    """Return the record in a site's folder; its key is read when something is signed."""
    keys = folder / sites.KEYS
    ledger = DbLedger(folder, FOLDS, signer=partial(sign, keys))
    return Record(folder, ledger, site_checker(keys))
