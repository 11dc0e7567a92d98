"""
What an audit finds in a rule file: a code, the item, how bad it is, and one sentence.

Stop is what would harm somebody; act must be put right before the file is used; check is worth
a look and stands in nobody's way.
"""

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import timedelta
from decimal import Decimal

from thawline.base.durations import Allowance
from thawline.base.findings import Level
from thawline.rules.shape import Leaf

Leaves = Mapping[str, Leaf]

_UNITS = {
    "_c": "C",
    "_f": "F",
    "_ml": "mL",
    "_in": "in",
    "_lb": "lb",
    "_kg": "kg",
    "_s": "s",
}
_SIGNS = {"C": "°C", "F": "°F"}


@dataclass(frozen=True, slots=True)
class Slip:
    """One thing that is wrong or odd in a rule file; `item` and `line` where there are any."""

    code: str
    level: Level
    key: str
    says: str
    item: str | None = None
    value: Leaf | None = None
    unit: str | None = None
    line: int | None = None

    @property
    def with_line(self) -> str:
        """Return the sentence with the line it is about in front."""
        return self.says if self.line is None else f"line {self.line}: {self.says}"


def item_of(leaves: Leaves, key: str) -> str | None:
    """Return the item code of the nearest table around a dotted key that has one."""
    table = key
    while table:
        item = leaves.get(f"{table}.item")
        if isinstance(item, str):
            return item
        table = table.rpartition(".")[0]
    return None


def unit_of(key: str, leaf: Leaf | None) -> str | None:
    """Return the unit of a figure, from the key that holds it; None where it only counts."""
    if isinstance(leaf, Allowance):
        return "ISO 8601"
    name = key.removesuffix(".value")
    return next((unit for suffix, unit in _UNITS.items() if name.endswith(suffix)), None)


def number(leaves: Leaves, key: str) -> Decimal | None:
    """Return the number under a key, None where there is none."""
    leaf = leaves.get(key)
    return Decimal(leaf) if isinstance(leaf, int | Decimal) else None


def spoken_figure(key: str, leaf: Leaf) -> str:
    """Return a figure in words with its unit, as in 2 h 30 min or -15 °C."""
    if isinstance(leaf, Allowance):
        return in_words(leaf)
    unit = unit_of(key, leaf)
    return f"{shown(leaf)} {_SIGNS.get(unit, unit)}" if unit else shown(leaf)


def in_words(length: Allowance) -> str:
    """Return a length of time in words: days as days, hours as hours and minutes."""
    hours, rest = divmod(length.elapsed, timedelta(hours=1))
    parts = (
        (length.days, "day" if length.days == 1 else "days"),
        (hours, "h"),
        (rest // timedelta(minutes=1), "min"),
        (rest % timedelta(minutes=1) // timedelta(seconds=1), "s"),
    )
    return " ".join(f"{count} {unit}" for count, unit in parts if count) or "no time"


def iso(length: Allowance) -> str:
    """Return a length of time in ISO 8601, as a rule file writes it."""
    minutes, seconds = divmod(length.elapsed // timedelta(seconds=1), 60)
    hours, minutes = divmod(minutes, 60)
    clock = "".join(f"{n}{u}" for n, u in ((hours, "H"), (minutes, "M"), (seconds, "S")) if n)
    days = f"{length.days}D" if length.days or not clock else ""
    return f"P{days}" + (f"T{clock}" if clock else "")


def shown(leaf: Leaf) -> str:
    """Return a figure as a rule file writes it, without needless zeros."""
    if isinstance(leaf, Allowance):
        return iso(leaf)
    if isinstance(leaf, bool):
        return "true" if leaf else "false"
    if isinstance(leaf, Decimal):
        return f"{leaf.normalize():f}"
    return str(leaf)
