"""
The files that a logger or its software drops into a folder, and when they change.

The system tells of changes where it can, and every few seconds the files are looked at anyway,
as on a share nobody tells. A file whose last line has no end yet is still being
written: that line waits. A folder that is gone, as with a logger that was pulled out, is waited
for and followed again.
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
    """
    Return the files of the folder itself that may hold readings, with time and size.

    Raises:
        NotFoundError: It is gone, or may not be read.
    """
    found = _stamps(folder)
    if found is None:
        raise NotFoundError(f"the folder {str(folder)!r} cannot be read", advice="look at it")
    return found


def changes(folder: Path, known: Stamps, *, poll: bool) -> Iterator[set[Path] | None]:
    """
    Yield the files that changed since they were known, or none when only time has passed.

    The system's word is only what wakes this up: the files are compared each time, so that a
    change of which nobody told is seen too, within `LOOK_EVERY_MS`. None: the folder is gone.
    """
    is_there = True
    while True:
        watching = _woken(folder if is_there else _nearest(folder), poll=poll)
        for _ in watching:
            now = _stamps(folder)
            if now is None:
                yield None
            else:
                yield {path for path, stamp in now.items() if known.get(path) != stamp}
                known = now
            if (now is not None) is not is_there:
                is_there = not is_there
                break
        else:
            return


def _woken(folder: Path, *, poll: bool) -> Iterator[object]:
    """Yield when something in a folder changes, and every `LOOK_EVERY_MS`."""
    return watchfiles.watch(
        folder,
        watch_filter=None,
        rust_timeout=LOOK_EVERY_MS,
        yield_on_timeout=True,
        force_polling=poll or None,
        recursive=False,
    )


def _nearest(folder: Path) -> Path:
    """Return the nearest folder above one that is gone, in which it may turn up again."""
    return next(above for above in folder.absolute().parents if above.is_dir())


def _stamps(folder: Path) -> Stamps | None:
    try:
        paths = sorted(folder.iterdir())
    except OSError:
        return None
    return {path: found for path in paths if (found := _stamp(path))}


def _stamp(path: Path) -> tuple[int, int] | None:
    """Return a file's time and size; None for one that another program works on, or is gone."""
    if path.name.startswith(_HIDDEN) or path.name.lower().endswith(_UNFINISHED):
        return None
    try:
        found = path.stat()
    except OSError:
        return None
    return (found.st_mtime_ns, found.st_size) if S_ISREG(found.st_mode) else None


def reading(asked: Asked, sheet: str | None = None) -> ReadFile:
    """Return a reader of logger files that knows what a person said about all of them."""

    def read_file(path: Path) -> FileReadings:
        record = read_logger(str(path), asked, sheet=sheet).record
        return FileReadings(
            record.readings,
            unfinished=record.counts[Why.CUT_OFF] > 0,
            unplaced_mc=tuple(map(int, record.unplaced_mc)),
        )

    return read_file
