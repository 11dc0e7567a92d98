"""The note that travels with vials to another site, as a JSON file."""

import json
import os
from pathlib import Path
from typing import Any, TextIO
from uuid import UUID

from thawline.base.errors import RecordError


def check_free(path: str) -> None:
    """
    Look whether a note can be written there, before the act that it tells of is recorded.

    Raises:
        RecordError: There is such a file already, or no such folder.
    """
    place = Path(path)
    if place.exists() or not place.parent.is_dir():
        what = "there is a file already" if place.exists() else "there is no such folder"
        raise RecordError(
            f"cannot write {path!r}: {what}; nothing was recorded",
            advice="name another file with --note",
        )


def write_note(path: str, note: dict[str, Any], act: UUID) -> None:
    """
    Write the note of an act; an existing file is never replaced. On disk when this returns.

    Raises:
        RecordError: There is such a file already, or it cannot be written whole; then what was
            written of it is gone. Says how to ask for the note again, by the act's id.
    """
    place = Path(path)
    try:
        with place.open("x", encoding="utf-8") as file:
            _write(place, file, note)
    except OSError as error:
        raise RecordError(
            f"cannot write {path!r}: {error.strerror}; the vials are recorded as sent",
            advice=f"repeat the command with --id {act} and another --note",
        ) from error


def _write(place: Path, file: TextIO, note: dict[str, Any]) -> None:
    """Write the whole note, or take away what there is of it."""
    try:
        json.dump(note, file, ensure_ascii=False, indent=2)
        file.write("\n")
        file.flush()
        os.fsync(file.fileno())
    except OSError:
        place.unlink()
        raise
