"""Writes a picture or an appointment to a file: whole, or not at all."""

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
    _write_whole(_named(path, "a picture", ".svg"), text.encode())


def write_calendar(path: str, text: str) -> None:
    """
    Write an appointment; an older file of that name is replaced once the new one is whole.

    Raises:
        RecordError: It does not end in .ics, so it may be something else's name.
        OSError: It cannot be written.
    """
    _write_whole(_named(path, "a calendar file", ".ics"), text.encode())


def _named(path: str, what: str, ending: str) -> Path:
    target = Path(path)
    if target.suffix.lower() != ending:
        raise RecordError(f"not a name for {what}: {path!r}", advice=f"end it in {ending}")
    return target


def _write_whole(target: Path, content: bytes) -> None:
    part = target.with_name(f"{target.name}.part")
    try:
        with part.open("wb") as out:
            out.write(content)
            out.flush()
            os.fsync(out.fileno())
        part.replace(target)
    finally:
        part.unlink(missing_ok=True)
