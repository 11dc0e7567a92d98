"""`thawline backup`: copies of the record; make one, check one, restore one."""

from pathlib import Path
from typing import Annotated, Any

from cyclopts import App, Parameter

from thawline.adapters import sites
from thawline.adapters.db.backup import OPENS_IT, Backup
from thawline.adapters.randomness import mint_with
from thawline.adapters.time import now
from thawline.adapters.upkeep import check_backup, make_backup, restore_backup
from thawline.app.backup import Restoring
from thawline.base.instants import from_ms, written, zone_named
from thawline.cli.answers import Answer
from thawline.cli.surroundings import home
from thawline.cli.text import counted
from thawline.ledger.heads import short

app = App(name="backup", help="Copies of the record: make, check, restore.")
Yes = Annotated[bool, Parameter(negative="")]


@app.command
def make(*, site: str | None = None) -> Answer:
    """
    Make a backup of a site: sealed, opened again at once, and looked through.

    thawline backup make
    thawline backup make --site harrowmint --json

    It lies in the site's folder: copy it to another disk. It opens with keys/backup.key, which
    belongs on paper in a sealed envelope, and with the keys in keys/recipients/.

    Parameters
    ----------
    site
        The site's name; not needed where there is only one.
    """
    folder = sites.folder_of(home(), site)
    made = make_backup(folder, now())
    return _answer(made, folder, f"Backup made and checked: {made.path}")


@app.command
def check(file: Path, *, key: Path | None = None, site: str | None = None) -> Answer:
    """
    Open a backup and look through all that it holds; nothing is changed.

    thawline backup check harrowmint-20260203T181500Z-000412.backup
    thawline backup check harrowmint-20260203T181500Z-000412.backup --key envelope.key

    Parameters
    ----------
    file
        The backup.
    key
        The key that opens it; the site's own if left out.
    site
        The site's name; not needed where there is only one.
    """
    if key is None:
        key = sites.folder_of(home(), site) / sites.KEYS / OPENS_IT
    found = check_backup(file, key)
    says = "is in order" if not found.verified.findings else "is damaged: use another one"
    return _answer(found, None, f"Backup {file.name} {says}")


@app.command
def restore(
    file: Path,
    *,
    by: str,
    why: str,
    site: str | None = None,
    key: Path | None = None,
    replace: Yes = False,
) -> Answer:
    """
    Make a site from a backup. What stands there is put aside, not thrown away.

    thawline backup restore harrowmint.backup --by Rowan --why "new laptop" --key envelope.key
    thawline backup restore harrowmint.backup --by Rowan --why "disk failed" --replace

    Parameters
    ----------
    file
        The backup.
    by
        Who restores it.
    why
        The reason, in a few words.
    site
        The name the site gets; the one it had if left out.
    key
        The key that opens the backup; the site's own if left out.
    replace
        Put the ledger aside that is there, also when it has newer entries than the backup.
    """
    at = now()
    restoring = Restoring(mint_with(now)(), by, at, why, zone="UTC", replace=replace)
    folder, receipt = restore_backup(file, home(), site, key, restoring)
    zone = sites.read_settings(folder).zone
    says = (
        f"Site {folder.name} restored from {file.name}.\n"
        f"It goes on in epoch {receipt.epoch} with entry {receipt.seq}.\n"
        "Type in what was recorded after the backup; see the paper and the tablets."
    )
    return Answer(
        data={
            "site": folder.name,
            "folder": str(folder),
            "restored_at": written(at, zone_named(zone)),
            "epoch": receipt.epoch,
            "seq": receipt.seq,
            "hash": receipt.hash,
            "parent_seq": receipt.seq - 1,
        },
        text=says,
    )


def _answer(found: Backup, folder: Path | None, says: str) -> Answer:
    cover, verified = found.cover, found.verified
    data: dict[str, Any] = {
        "site": folder.name if folder else cover.name,
        "file": str(found.path),
        "size_bytes": found.size_bytes,
        "made_at": written(from_ms(cover.at_ms)),
        "entries": verified.entries,
        "epoch": cover.epoch,
        "seq": cover.seq,
        "head": cover.hash,
        "short": short(bytes.fromhex(cover.hash)),
        "recipients": [each.key for each in cover.recipients],
        "in_order": not verified.findings,
    }
    counts = counted(verified.entries, "entry", "entries")
    head = f"head {cover.seq} of epoch {cover.epoch}: {data['short']}"
    return Answer(data, f"{says}\n{counts}, {head}", verified.findings)
