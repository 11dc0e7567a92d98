"""
The files that a logger or its software drops into a folder, and when they change.

The system tells of changes where it can, and every few seconds the files are looked at anyway,
as on a share nobody tells. A file whose last line has no end yet is still being
written: that line waits.
"""

from collections.abc import Iterator
from pathlib import Path
from stat import S_ISREG

import watchfiles

from thawline.adapters.logger_files import read_logger
from thawline.app.following import FileReadings, ReadFile
from thawline.base.errors import NotFoundError, RecordError
from thawline.exchange.loggers.asked import Asked
from thawline.exchange.loggers.record import Why

Stamps = dict[Path, tuple[int, int]]
"""Files with the time they were written, in nanoseconds, and their size in bytes."""

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


def stamps(folder: Path) -> Stamps:
    """Return the files of the folder itself that may hold readings, with time and size."""
    return {path: found for path in sorted(folder.iterdir()) if (found := _stamp(path))}


def changes(folder: Path, known: Stamps, *, poll: bool) -> Iterator[set[Path]]:
    """
    Yield the files that changed since they were known, or none when only time has passed.

    The system's word is only what wakes this up: the files are compared each time, so that a
    change of which nobody told is seen too, within `LOOK_EVERY_MS`.
    """
    watching = watchfiles.watch(
        folder,
        watch_filter=None,
        rust_timeout=LOOK_EVERY_MS,
        yield_on_timeout=True,
        force_polling=poll or None,
        recursive=False,
    )
    for _ in watching:
        now = stamps(folder)
        yield {path for path, stamp in now.items() if known.get(path) != stamp}
        known = now


def _stamp(path: Path) -> tuple[int, int] | None:
    """Return a file's time and size; None for one that another program works on, or is gone."""
    if path.name.startswith(_HIDDEN) or path.name.lower().endswith(_UNFINISHED):
        return None
    try:
        found = path.stat()
    except OSError:
        return None
    return (found.st_mtime_ns, found.st_size) if S_ISREG(found.st_mode) else None


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
