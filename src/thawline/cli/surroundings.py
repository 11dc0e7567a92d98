"""What the shell's surroundings say: where the site folders are."""

import os
from pathlib import Path

_HOME: list[str | None] = [None]
_DEMO: list[bool] = [False]


def set_home(folder: str | None) -> None:
    """Take the folder of `--home` for this run; None leaves it to THAWLINE_HOME."""
    _HOME[0] = folder
    _DEMO[0] = False


def home(unnamed: str = "thawline") -> Path:
    """Return the folder that holds `sites/` and `keys/`; `unnamed` where nothing names it."""
    return Path(_HOME[0] or os.environ.get("THAWLINE_HOME") or Path.home() / unnamed)


def note_demo(*, is_demo: bool) -> None:
    """Keep in mind that the answer speaks of an invented site: every page then says DEMO."""
    _DEMO[0] = _DEMO[0] or is_demo


def speaks_of_demo() -> bool:
    """Say whether the answer of this run speaks of an invented site."""
    return _DEMO[0]
