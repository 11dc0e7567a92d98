"""
The files that a logger or its software drops into a folder, and when they change.

The system tells of changes where it can; on a folder where it cannot, such as a share, somebody
asks for looking at intervals instead. A file whose last line has no end yet is still being
written: that line waits.
"""

from collections.abc import Iterator
from pathlib import Path

import watchfiles

from thawline.adapters.logger_files import read_logger
from thawline.app.following import FileReadings, ReadFile
from thawline.base.errors import NotFoundError, RecordError
from thawline.exchange.loggers.asked import Asked
from thawline.exchange.loggers.record import Why

LOOK_EVERY_MS = 10_000
"""How often time alone is looked at: silence and calls that have become due."""
_HIDDEN = (".", "~")
_UNFINISHED = (".part", ".tmp", ".crdownload", ".filepart")


def folder_named(path: str) -> Path:
    """
    Return the folder that somebody typed.

    Raises:
        NotFoundError: There is no such folder.
        RecordError: It is a file.
    """
    folder = Path(path)
    if not folder.exists():
        raise NotFoundError(
            f"no folder {path!r}", advice="name the folder the logger writes to"
        )
    if not folder.is_dir():
        raise RecordError(
            f"{path!r} is a file", advice="name its folder, or thawline cold read"
        )
    return folder


def files_in(folder: Path) -> set[Path]:
    """Return the files of the folder itself that may hold readings."""
    return {path for path in folder.iterdir() if may_hold_readings(path)}


def may_hold_readings(path: Path) -> bool:
    """Say whether a name is that of a finished file, not one that another program works on."""
    hidden = path.name.startswith(_HIDDEN) or path.name.lower().endswith(_UNFINISHED)
    return not hidden and path.is_file()


def changes(folder: Path, *, poll: bool) -> Iterator[set[Path]]:
    """Yield the files of the folder that changed, or none when only time has passed."""
    watching = watchfiles.watch(
        folder,
        watch_filter=None,
        rust_timeout=LOOK_EVERY_MS,
        yield_on_timeout=True,
        force_polling=poll or None,
        recursive=False,
    )
    for changed in watching:
        yield {path for _, name in changed if may_hold_readings(path := Path(name))}


def reading(asked: Asked) -> ReadFile:
    """Return a reader of logger files that knows what a person said about all of them."""

    def read_file(path: Path) -> FileReadings:
        record = read_logger(str(path), asked).record
        return FileReadings(
            record.readings,
            unfinished=record.counts[Why.CUT_OFF] > 0,
            unplaced_mc=tuple(map(int, record.unplaced_mc)),
        )

    return read_file
