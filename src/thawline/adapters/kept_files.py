"""A file on disk as something that is kept: its digest, and its bytes once more."""

from collections.abc import Iterator
from hashlib import sha256
from pathlib import Path

from thawline.app.cold import FileAsRead
from thawline.base.errors import NotFoundError

_BLOCK = 1 << 20


def file_as_read(path: str, read_as: str, probe: str = "") -> FileAsRead:
    """
    Return a file that was read, ready to be recorded.

    Raises:
        NotFoundError: There is no such file; standard input leaves none to keep.
    """
    place = Path(path)
    if not place.is_file():
        raise NotFoundError(
            f"no file {path!r} to keep", advice="name the logger's file; - cannot be recorded"
        )
    digest = sha256()
    for block in _blocks(place):
        digest.update(block)
    return FileAsRead(place.name, digest.hexdigest(), lambda: _blocks(place), read_as, probe)


def _blocks(path: Path) -> Iterator[bytes]:
    with path.open("rb") as file:
        while block := file.read(_BLOCK):
            yield block
