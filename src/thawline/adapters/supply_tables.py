"""
The supplies of a site, `supplies.toml` in its folder, and the shipped figures of use.

A count by hand: who counted and when stand on top, then a `[[supplies]]` table for each thing.
"""

import tomllib
from dataclasses import dataclass
from functools import cache
from importlib.resources import files
from pathlib import Path
from typing import Any

from thawline.adapters.toml_files import tables_of
from thawline.base.errors import RecordError
from thawline.plan.supplies import Counted, Per, Use

SUPPLIES = "supplies.toml"
_WANTED, _ALLOWED = {"name", "kind", "on_hand"}, {"share", "use", "fewest"}


@dataclass(frozen=True, slots=True)
class Stock:
    """The site's own count: when and by whom, as the file says, and the rows."""

    counted_at: str
    counted_by: str
    rows: tuple[Counted, ...]


@cache
def uses() -> dict[str, Use]:
    """Return what a dose, a vial or a day uses, by kind, as shipped."""
    tables = tomllib.loads((files("thawline.plan") / "supplies.toml").read_text())
    sources = {key: source["kind"] for key, source in tables["sources"].items()}
    return {
        kind: Use(Per(row["per"]), row["use"], row.get("fewest", 0), sources[row["source"]])
        for kind, row in tables["kinds"].items()
    }


def read_stock(path: Path) -> Stock:
    """
    Return the count in a file.

    Raises:
        RecordError: There is no such file, or it is not what it should be; names the place.
    """
    absent = RecordError(
        f"no count of supplies: {path.name} is not there",
        advice=f"write {SUPPLIES} in the site's folder, or name a file with --stock",
    )
    tables = tables_of(path, absent)
    rows = tables.get("supplies")
    if not isinstance(rows, list) or not rows:
        raise RecordError(f"{path.name} has no [[supplies]]", advice="one for each thing")
    return Stock(
        counted_at=str(tables.get("counted_at", "")),
        counted_by=str(tables.get("counted_by", "")),
        rows=tuple(_row(row, f"{path.name}, row {n}") for n, row in enumerate(rows, 1)),
    )


def _row(row: Any, where: str) -> Counted:
    if not isinstance(row, dict) or not _WANTED <= set(row) <= _WANTED | _ALLOWED:
        raise RecordError(
            f"{where}: is {row!r}",
            advice="write name, kind and on_hand; share, use and fewest if you will",
        )
    for key, kind in (("name", str), ("kind", str), ("on_hand", int)):
        if not isinstance(row[key], kind) or isinstance(row[key], bool):
            raise RecordError(f"{where}: {key} is {row[key]!r}", advice=_EXAMPLE)
    numbers = {key: row[key] for key in ("on_hand", *_ALLOWED) if key in row}
    for key, value in numbers.items():
        is_number = isinstance(value, int | float) and not isinstance(value, bool)
        if not is_number or not 0 <= value < float("inf") or (key == "share" and value > 1):
            raise RecordError(f"{where}: {key} is {value!r}", advice=_EXAMPLE)
    return Counted(**row)


_EXAMPLE = 'as in name = "needles 1 in", kind = "needle", on_hand = 900, share = 0.6'
