"""Readings that were followed, in one plain file a unit; each is kept once, on disk."""

import os
from pathlib import Path

import numpy as np

from thawline.store.readings import Readings, readings

FOLDER = "followed"


class FileSeen:
    """The followed readings of a site."""

    def __init__(self, folder: Path) -> None:
        self._folder = folder / FOLDER

    def of(self, unit: str) -> Readings:
        """Return all readings of a unit; a row that a cut left unfinished does not count."""
        path = self._folder / f"{unit}.csv"
        lines = path.read_text().splitlines(keepends=True) if path.is_file() else []
        rows = [line.split(",")[:2] for line in lines if line.endswith("\n")]
        both = np.array(rows, dtype=np.int64).reshape(-1, 2)
        return readings(both[:, 0], both[:, 1])

    def add(self, unit: str, new: Readings, source: str) -> None:
        """Append readings; on disk when this returns."""
        self._folder.mkdir(mode=0o700, exist_ok=True)
        name = source.replace(",", " ").replace("\n", " ")
        rows = zip(new.at_ms.tolist(), new.temp_mc.tolist(), strict=True)
        with (self._folder / f"{unit}.csv").open("a") as out:
            out.writelines(f"{at_ms},{temp_mc},{name}\n" for at_ms, temp_mc in rows)
            out.flush()
            os.fsync(out.fileno())
