"""
What a new version of a protocol changes: which item, from what to what, and in which direction.

Items are compared by their code, so that moving a table in the file changes nothing.
"""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from decimal import Decimal
from enum import StrEnum

from thawline.base.durations import Allowance
from thawline.rules.briefing import Briefing, briefings
from thawline.rules.shape import Leaf
from thawline.rules.slips import Leaves, item_of, shown
from thawline.rules.wordings import is_text

_HEADINGS = ("format", "protocol.")
_NOT_FIGURES = frozenset({"source", "item"})
_WORDS = ("en", "es", "by", "on", "condition", "title", "note")


class Kind(StrEnum):
    """Which way an item changed."""

    SHORTER = "shorter"
    LONGER = "longer"
    CHANGED = "changed"
    ADDED = "added"
    REMOVED = "removed"
    TEXT = "text"


@dataclass(frozen=True, slots=True)
class Change:
    """
    One item that is not as it was; `item` None for words and sources that belong to none.

    `before` and `after` are figures as the file writes them, None where there is none.
    """

    item: str | None
    before: str | None
    after: str | None
    kind: Kind
    key: str
    source_only: bool = False


def changes(old: Leaves, new: Leaves) -> tuple[Change, ...]:
    """Return what changed between the leaves of two versions, in the order of the new file."""
    before, after = _by_item(old), _by_item(new)
    names = [*after, *(name for name in before if name not in after)]
    found = (_change(name, before.get(name, {}), after.get(name, {})) for name in names)
    return tuple(change for change in found if change is not None)


def brief_again(changed: Iterable[Change]) -> tuple[Briefing, ...]:
    """Return which roles must hear of which items; a new source alone changes nobody's work."""
    return briefings(
        (change.key, change.item)
        for change in changed
        if change.item is not None and not change.source_only
    )


def _by_item(leaves: Leaves) -> dict[tuple[str, str], dict[str, Leaf]]:
    """Return the leaves grouped by table and item, each under the key inside its table."""
    found: dict[tuple[str, str], dict[str, Leaf]] = {}
    for key, leaf in leaves.items():
        if key.startswith(_HEADINGS):
            continue
        found.setdefault(_name(leaves, key), {})[key] = leaf
    return found


def _name(leaves: Leaves, key: str) -> tuple[str, str]:
    """Return the item a key belongs to; for words, the item they are about and their place."""
    item = item_of(leaves, key)
    if item is not None:
        return item, ""
    table = ".".join(key.split(".")[:2])
    about = leaves.get(f"{table}.about.0")
    if isinstance(about, str):
        return item_of(leaves, f"{about}.item") or "", f"about {about}"
    return "", table


def _change(
    name: tuple[str, str], old: Mapping[str, Leaf], new: Mapping[str, Leaf]
) -> Change | None:
    before, after = _inside(old), _inside(new)
    if before == after or (name[1].startswith("sources.") and not (old and new)):
        return None
    differing = [key for key in {**after, **before} if before.get(key) != after.get(key)]
    key = next(iter(new or old))
    return Change(
        item=name[0] or None,
        before=_written(before, differing),
        after=_written(after, differing),
        kind=_kind(before, after, differing),
        key=key,
        source_only=set(differing) <= {"source"},
    )


def _inside(leaves: Mapping[str, Leaf]) -> dict[str, Leaf]:
    """Return the leaves of one item by their key inside its table."""
    item_keys = [key for key in leaves if key.endswith(".item")]
    table = item_keys[0].removesuffix("item") if item_keys else _shared_table(leaves)
    return {key.removeprefix(table): leaf for key, leaf in leaves.items()}


def _shared_table(leaves: Mapping[str, Leaf]) -> str:
    return ".".join(next(iter(leaves), "").split(".")[:2]) + "."


def _written(inside: Mapping[str, Leaf], differing: list[str]) -> str | None:
    """Return what differs: a single figure or text bare, anything else with its key."""
    figures = [key for key in differing if key not in _NOT_FIGURES] or differing
    keys = [key for key in figures if key in inside]
    if len(figures) == len(keys) == 1 and _speaks_for_itself(keys[0], inside[keys[0]]):
        return shown(inside[keys[0]])
    return ", ".join(f"{key} {shown(inside[key])}" for key in keys) or None


def _speaks_for_itself(key: str, leaf: Leaf) -> bool:
    if isinstance(leaf, bool):
        return False
    return is_text(key) or isinstance(leaf, Allowance | int | Decimal)


def _kind(before: Mapping[str, Leaf], after: Mapping[str, Leaf], differing: list[str]) -> Kind:
    if not before:
        return Kind.ADDED
    if not after:
        return Kind.REMOVED
    figures = [key for key in differing if not _is_words(key)]
    if not figures:
        return Kind.TEXT
    ways = {_way(before.get(key), after.get(key)) for key in figures}
    return ways.pop() if len(ways) == 1 else Kind.CHANGED


def _is_words(key: str) -> bool:
    last = key.rpartition(".")[2]
    return last in _NOT_FIGURES or last in _WORDS


def _way(before: Leaf | None, after: Leaf | None) -> Kind:
    if not isinstance(before, Allowance) or not isinstance(after, Allowance):
        return Kind.CHANGED
    if before.longest() == after.longest():
        return Kind.CHANGED
    return Kind.SHORTER if after.longest() < before.longest() else Kind.LONGER
