"""What the shell's surroundings say: where the site folders are."""

import os
from pathlib import Path

_HOME: list[str | None] = [None]


def set_home(folder: str | None) -> None:
    """Take the folder of `--home` for this run; None leaves it to THAWLINE_HOME."""
    _HOME[0] = folder


def home(unnamed: str = "thawline") -> Path:
    """Return the folder that holds `sites/` and `keys/`; `unnamed` where nothing names it."""
    return Path(_HOME[0] or os.environ.get("THAWLINE_HOME") or Path.home() / unnamed)
