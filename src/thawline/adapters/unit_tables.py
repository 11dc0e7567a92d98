"""
The `[units.NAME]` tables of `site.toml`: read into storage units, and one of them written.

Whatever else stands in the file, comments too, stays as it is.
"""

import os
import re
from collections.abc import Iterator, Mapping
from decimal import Decimal
from pathlib import Path
from typing import Any

from thawline.base.errors import RecordError
from thawline.store.units import Followed, StorageUnit

_KEYS = {"band", "followed", "accuracy_c", "title"}
_HEADING = re.compile(r"\s*\[")


def read_units(tables: Mapping[str, Any], where: str) -> tuple[StorageUnit, ...]:
    """
    Return the storage units of a site, in the order of the file.

    Args:
        tables: The whole file, numbers with a point as Decimal.
        where: Which file it is, for the error.

    Raises:
        RecordError: A table is not what it should be; names the unit, the key and the value.
    """
    units = tables.get("units", {})
    if not isinstance(units, dict):
        raise RecordError(f"{where}: 'units' is {units!r}", advice="write [units.fridge-1]")
    return tuple(_unit(name, table, where) for name, table in units.items())


def _unit(name: str, table: object, where: str) -> StorageUnit:
    here = f"{where}, unit {name}"
    if not isinstance(table, dict):
        raise RecordError(f"{here}: is {table!r}", advice=f"write [units.{name}]")
    if strange := sorted(table.keys() - _KEYS):
        raise RecordError(
            f"{here}: unknown {', '.join(strange)}", advice=f"it has {', '.join(sorted(_KEYS))}"
        )
    return StorageUnit(
        name=name,
        band=_text(table, "band", here),
        followed=_followed(_text(table, "followed", here), here),
        accuracy_c=_accuracy(table.get("accuracy_c"), here),
        title=_text({"title": "", **table}, "title", here),
    )


def _text(table: Mapping[str, Any], key: str, here: str) -> str:
    value = table.get(key)
    if not isinstance(value, str):
        raise RecordError(f"{here}: {key} is {value!r}", advice=f'write {key} = "..."')
    return value


def _followed(text: str, here: str) -> Followed:
    try:
        return Followed(text)
    except ValueError as error:
        raise RecordError(
            f"{here}: followed is {text!r}", advice=f"one of {', '.join(Followed)}"
        ) from error


def _accuracy(value: object, here: str) -> Decimal | None:
    if value is None:
        return None
    if isinstance(value, bool) or not isinstance(value, int | Decimal):
        raise RecordError(f"{here}: accuracy_c is {value!r}", advice="write a number, as 0.5")
    return Decimal(value)


def keep_unit(path: Path, unit: StorageUnit) -> None:
    """Write one unit into a site's settings, in place of the table it had there."""
    lines = [*_without(path.read_text().splitlines(), unit.name), *_table(unit)]
    part = path.with_name(f"{path.name}.part")
    with part.open("w") as out:
        out.write("\n".join(lines) + "\n")
        out.flush()
        os.fsync(out.fileno())
    part.replace(path)


def _without(lines: list[str], name: str) -> Iterator[str]:
    """Yield the lines of the file but those of the unit's table."""
    heading = re.compile(rf"""\s*\[\s*units\s*\.\s*["']?{re.escape(name)}["']?\s*\]""")
    inside = False
    for line in lines:
        if _HEADING.match(line):
            inside = heading.match(line) is not None
        if not inside:
            yield line


def _table(unit: StorageUnit) -> Iterator[str]:
    yield f"[units.{unit.name}]"
    yield f'band = "{unit.band}"'
    yield f'followed = "{unit.followed}"'
    if unit.accuracy_c is not None:
        yield f"accuracy_c = {unit.accuracy_c}"
    if unit.title:
        yield f'title = "{quoted(unit.title)}"'


def quoted(text: str) -> str:
    """Return the text as it stands between the quotes of a TOML string."""
    return text.replace("\\", "\\\\").replace('"', '\\"')
