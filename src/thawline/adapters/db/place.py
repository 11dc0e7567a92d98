"""
Where a site's folder stands: on a disk that keeps what it was told, with room to write.

Best effort: the kind of file system is read where the machine lists its mounts, and a folder
that looks as if something copies it elsewhere is pointed out.
"""

import re
from pathlib import Path
from shutil import disk_usage

from thawline.base.errors import BusyError
from thawline.base.findings import Finding, Level

READINGS = "readings.db"
LOGGER_FILES = "logger-files"
MOUNTS = Path("/proc/self/mounts")
_NETWORK = {"9p", "afs", "ceph", "cifs", "davfs", "nfs", "nfs4", "smb3", "smbfs"}
_COPIED_ELSEWHERE = re.compile(r"cloud|sync|\w+drive", re.IGNORECASE)
_MIB = 1 << 20
_LITTLE_MIB, _TOO_LITTLE_MIB = 1024, 250


def refuse_network(folder: Path, mounts: Path = MOUNTS) -> None:
    """
    Look whether a ledger may be made in a folder at all.

    Raises:
        BusyError: It is on a network share, where locks and syncs are not to be trusted.
    """
    kind = file_system(folder, mounts)
    if kind in _NETWORK:
        raise BusyError(
            f"{folder.name!r} is on a network share ({kind}); nothing was made",
            advice="use a folder on this machine's own disk",
        )


def place_findings(folder: Path, mounts: Path = MOUNTS) -> list[Finding]:
    """Return what speaks against keeping a site in this folder."""
    found = room_findings(disk_usage(folder).free)
    kind = file_system(folder, mounts)
    if kind in _NETWORK:
        says = f"the site is on a network share ({kind}), where a record can be torn"
        found.append(Finding(Level.STOP, "network-share", says))
    copied = [part for part in folder.resolve().parts if _COPIED_ELSEWHERE.search(part)]
    if copied:
        says = f"something may copy {copied[0]!r} elsewhere while it is written: move the site"
        found.append(Finding(Level.CHECK, "synced-folder", says))
    return found


def room_findings(free_bytes: int) -> list[Finding]:
    """Return what is to be said about the room that is left on the disk."""
    left = free_bytes // _MIB
    if left < _TOO_LITTLE_MIB:
        says = f"{left} MiB left on the disk: free some space before anything is recorded"
        return [Finding(Level.STOP, "disk-full", says)]
    if left < _LITTLE_MIB:
        return [Finding(Level.ACT, "disk-low", f"{left} MiB left on the disk: free some space")]
    return []


def file_system(folder: Path, mounts: Path = MOUNTS) -> str | None:
    """Return the kind of file system that a folder is on, None where nobody can say."""
    if not mounts.exists():
        return None
    where = folder.resolve()
    lines = (line.split(" ") for line in mounts.read_text().splitlines())
    on = [(len(at), kind) for _, at, kind, *_ in lines if where.is_relative_to(_unescaped(at))]
    return max(on)[1] if on else None


def _unescaped(at: str) -> str:
    return at.replace("\\040", " ")
