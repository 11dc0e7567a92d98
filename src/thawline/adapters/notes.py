"""The note that travels with vials to another site, as a JSON file."""

import json
from pathlib import Path
from typing import Any

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


def write_note(path: str, note: dict[str, Any]) -> None:
    """
    Write the note; an existing file is never replaced.

    Raises:
        RecordError: There is such a file already, or it cannot be written.
    """
    try:
        with Path(path).open("x", encoding="utf-8") as file:
            json.dump(note, file, ensure_ascii=False, indent=2)
            file.write("\n")
    except OSError as error:
        raise RecordError(
            f"cannot write {path!r}: {error.strerror}; the vials are recorded as sent",
            advice="repeat the act with its own --id and another --note",
        ) from error
