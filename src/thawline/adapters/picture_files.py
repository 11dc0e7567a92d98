"""Writes a picture to a file: whole, or not at all."""

import os
from pathlib import Path

from thawline.base.errors import RecordError


def write_picture(path: str, text: str) -> None:
    """
    Write a picture; an older one of that name is replaced once the new one is whole.

    Raises:
        RecordError: It does not end in .svg, so it may be something else's name.
        OSError: It cannot be written.
    """
    target = Path(path)
    if target.suffix.lower() != ".svg":
        raise RecordError(f"not a name for a picture: {path!r}", advice="end it in .svg")
    write_whole(target, text.encode())


def write_whole(target: Path, content: bytes) -> None:
    """
    Write a file; an older one of that name is replaced once the new one is whole.

    Raises:
        OSError: It cannot be written.
    """
    part = target.with_name(f"{target.name}.part")
    try:
        with part.open("wb") as out:
            out.write(content)
            out.flush()
            os.fsync(out.fileno())
        part.replace(target)
    finally:
        part.unlink(missing_ok=True)
