"""The pages' own secrets, made once and kept beside the site's keys, for their owner only."""

import os
import secrets
from pathlib import Path

from thawline.adapters import sites

_BYTES = 48


def kept_secret(folder: Path | None, name: str) -> str:
    """Return a site's secret of that name, made at the first call; without a site a new one."""
    if folder is None:
        return secrets.token_urlsafe(_BYTES)
    path = folder / sites.KEYS / f"{name}.secret"
    if not path.exists():
        _make(path)
    return path.read_text().strip()


def _make(path: Path) -> None:
    fresh = path.with_suffix(".new")
    handle = os.open(fresh, os.O_WRONLY | os.O_CREAT | os.O_TRUNC, 0o600)
    with os.fdopen(handle, "w") as file:
        file.write(secrets.token_urlsafe(_BYTES))
        file.flush()
        os.fsync(file.fileno())
    fresh.replace(path)
