"""
One writer at a time on a site: whoever holds `writer.lock` may write, all others wait.

The lock is the operating system's and falls when its holder ends, however it ends.
"""

import fcntl
import os
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from time import monotonic, sleep

from thawline.base.errors import BusyError

WRITER = "writer.lock"
BACKUP = "backup.lock"
_ASK_AGAIN_S = 0.002


@contextmanager
def held(folder: Path, wait_s: float, name: str = WRITER) -> Iterator[None]:
    """
    Hold a site's lock, the writer's unless another is named, for the length of the block.

    Raises:
        BusyError: Somebody else held it all the time that was waited.
    """
    handle = _opened(folder / name)
    try:
        _take(handle, wait_s)
        yield
    finally:
        os.close(handle)


def _opened(path: Path) -> int:
    try:
        return os.open(path, os.O_RDWR | os.O_CREAT | os.O_CLOEXEC, 0o600)
    except OSError as error:
        raise BusyError(
            f"cannot write in {str(path.parent)!r}: {error.strerror}",
            advice="check that the disk is there and may be written; nothing was recorded",
        ) from error


def _take(handle: int, wait_s: float) -> None:
    until = monotonic() + wait_s
    while not _taken(handle):
        if monotonic() > until:
            raise BusyError(
                f"somebody else has been writing for {wait_s:g} s; nothing was recorded",
                advice="repeat the command",
            )
        sleep(_ASK_AGAIN_S)


def _taken(handle: int) -> bool:
    try:
        fcntl.flock(handle, fcntl.LOCK_EX | fcntl.LOCK_NB)
    except BlockingIOError:
        return False
    return True
