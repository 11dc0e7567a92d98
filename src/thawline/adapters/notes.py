"""The note that travels with vials to another site, as a JSON file."""

import json
from pathlib import Path
from typing import Any

from thawline.base.errors import RecordError


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
        raise RecordError(f"cannot write {path!r}: {error.strerror}") from error
