"""Writes an appointment to a calendar file: whole, or not at all."""

from pathlib import Path

from thawline.adapters.picture_files import write_whole
from thawline.base.errors import RecordError


def write_calendar(path: str, text: str) -> None:
    """
    Write an appointment; an older file of that name is replaced once the new one is whole.

    Raises:
        RecordError: It does not end in .ics, so it may be something else's name.
        OSError: It cannot be written.
    """
    target = Path(path)
    if target.suffix.lower() != ".ics":
        raise RecordError(f"not a name for a calendar file: {path!r}", advice="end it in .ics")
    write_whole(target, text.encode())
