"""
The figures that were in print, edition by edition, to hold a protocol file against.

They are shipped apart from every protocol and keyed by edition and item: a file that brought
its own references would pass with the same slip in both places.
"""

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import datetime
from decimal import Decimal

import msgspec

from thawline.base.durations import read_allowance
from thawline.base.errors import RuleError
from thawline.base.instants import Instant, instant
from thawline.rules.protocol import Source
from thawline.rules.questions import Outcome
from thawline.rules.shape import Leaf
from thawline.rules.table import Table
from thawline.rules.text import read_text

NOTHING = "nothing"
"""What a file writes as `compared_with` when no edition is about its product."""


@dataclass(frozen=True, slots=True)
class Edition:
    """What was in print from an instant on: figures and who printed them, by dotted key."""

    name: str
    starts: Instant
    figures: Mapping[str, Leaf]
    sources: Mapping[str, str]


class Superseded(Table, frozen=True, kw_only=True):
    """[[superseded]]: a pair of degrees that was printed once and is still copied."""

    key: str
    value_c: Decimal
    value_f: Decimal
    source: str


@dataclass(frozen=True, slots=True)
class Published:
    """All editions, earliest first, and the pairs that are no longer printed."""

    editions: tuple[Edition, ...]
    superseded: tuple[Superseded, ...]

    def ever(self, key: str) -> frozenset[Leaf]:
        """Return every value that any edition printed for a key."""
        return frozenset(e.figures[key] for e in self.editions if key in e.figures)

    def named(self, name: str) -> Edition:
        """
        Return the edition of that name.

        Raises:
            RuleError: There is none.
        """
        found = {edition.name: edition for edition in self.editions}
        if name not in found:
            known = ", ".join([*found, NOTHING])
            raise RuleError(f"no published edition {name!r}", advice=f"known: {known}")
        return found[name]

    def of_time(self, at: Instant) -> Edition:
        """Return the edition that was in print at the instant; before the first, the first."""
        begun = [edition for edition in self.editions if edition.starts <= at]
        return begun[-1] if begun else self.editions[0]


class _Printed(Table, frozen=True, kw_only=True):
    source: str
    value: Decimal | None = None
    lasts: str | None = None
    may: bool | None = None
    leads_to: Outcome | None = None


class _EditionTable(Table, frozen=True, kw_only=True):
    effective_from: datetime
    figures: dict[str, _Printed]
    builds_on: str | None = None


class _Tables(Table, frozen=True, kw_only=True):
    editions: dict[str, _EditionTable]
    superseded: tuple[Superseded, ...]
    sources: dict[str, Source]


def read_published(raw: bytes) -> Published:
    """
    Return the published figures in the bytes of the file that is shipped with them.

    Raises:
        RuleError: The file is not one.
    """
    try:
        tables = msgspec.convert(read_text(raw).tree, _Tables)
    except msgspec.ValidationError as error:
        raise RuleError(f"published figures: {error}") from error
    editions = [_edition(tables, name) for name in tables.editions]
    return Published(tuple(sorted(editions, key=lambda e: e.starts)), tables.superseded)


def _edition(tables: _Tables, name: str) -> Edition:
    printed = _built_up(tables, name)
    if unknown := {entry.source for entry in printed.values()} - tables.sources.keys():
        raise RuleError(f"published figures: no source {min(unknown)!r}")
    return Edition(
        name,
        instant(tables.editions[name].effective_from),
        {key: _leaf(key, entry) for key, entry in printed.items()},
        {key: entry.source for key, entry in printed.items()},
    )


def _built_up(tables: _Tables, name: str) -> dict[str, _Printed]:
    table = tables.editions[name]
    earlier = _built_up(tables, table.builds_on) if table.builds_on else {}
    return {**earlier, **table.figures}


def _leaf(key: str, printed: _Printed) -> Leaf:
    if printed.lasts is not None:
        return read_allowance(printed.lasts)
    for found in (printed.value, printed.may, printed.leads_to):
        if found is not None:
            return found
    raise RuleError(f"published figures: {key} has no figure")
