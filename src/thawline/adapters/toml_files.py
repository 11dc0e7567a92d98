"""Reads a TOML file that somebody wrote by hand for a site."""

import tomllib
from pathlib import Path
from typing import Any

from thawline.base.errors import RecordError, ThawlineError


def tables_of(path: Path, absent: ThawlineError) -> dict[str, Any]:
    """
    Return the tables of a file.

    Raises:
        ThawlineError: There is no such file: `absent`, which says what to write.
        RecordError: It cannot be read, or is no TOML.
    """
    try:
        return tomllib.loads(path.read_text())
    except FileNotFoundError as error:
        raise absent from error
    except (OSError, ValueError) as error:
        raise RecordError(f"{path.name} cannot be read: {error}") from error
