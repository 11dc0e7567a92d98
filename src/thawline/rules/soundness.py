"""
Whether a rule file hangs together: its sources, names, items and texts.

Only what makes a file unusable whatever its figures are; whether a figure is the right one is
asked in `rules.audit`.
"""

from collections import Counter
from collections.abc import Callable, Iterator, Mapping, Set
from dataclasses import replace

from thawline.rules.amounts import impossible_amounts
from thawline.rules.asking import TABLE, unaskable
from thawline.rules.faults import Fault
from thawline.rules.shape import Leaf, Shape
from thawline.rules.text import Text
from thawline.rules.wordings import RUNTIME, is_text, placeholders

Leaves = Mapping[str, Leaf]

_ITEM_ADVICE = "give each figure its own short code, a letter and a number, as in C4"
_PUBLISHED_NEEDS = ("author", "title", "read_on")
_NEEDED_BANDS = {
    "bands.frozen": "a freezer",
    "bands.refrigerator": "a refrigerator",
    "bands.room": "a table",
}
_NEEDED_STARTS = {
    "leaves-frozen": "from leaving the freezer",
    "to-table": "at room temperature",
    "open": "once open",
}
_KINDS = ("published", "common practice", "from memory", "invented for the demo")


def unsound(shape: Shape, text: Text, *, whole: bool = True) -> list[Fault]:
    """
    Return what does not hang together in a file, as far as it could be read.

    A rule set, which is not a `whole` protocol, handles no vials and needs no limits.
    """
    leaves = shape.leaves
    named = leaves.keys() | {fault.key for fault in shape.faults}
    checks = (*_CHECKS, _limits) if whole else _CHECKS
    found = [fault for check in checks for fault in check(leaves)]
    found += _texts(leaves, named)
    return [replace(fault, line=text.line(fault.key)) for fault in found]


def _last(key: str) -> str:
    return key.rpartition(".")[2]


def _names_under(leaves: Leaves, table: str) -> set[str]:
    return {key.split(".")[1] for key in leaves if key.startswith(f"{table}.")}


def _heading(leaves: Leaves) -> Iterator[Fault]:
    form = leaves.get("format", 1)
    if form != 1:
        says = f"format {form} is not known here"
        yield Fault("wrong-value", "format", says, "write format = 1")
    version = leaves.get("protocol.version", 1)
    if isinstance(version, int) and version < 1:
        says = f"protocol.version = {version}; versions count from 1"
        yield Fault("wrong-value", "protocol.version", says, "write 1 or more")


def _sources(leaves: Leaves) -> Iterator[Fault]:
    known = _names_under(leaves, "sources")
    for key, leaf in leaves.items():
        if _last(key) == "source" and leaf not in known:
            yield Fault(
                "missing-source",
                key,
                f"{key} names {leaf!r}, which [sources] does not have",
                f"add [sources.{leaf}] with its kind",
            )


def _source_tables(leaves: Leaves) -> Iterator[Fault]:
    for name in sorted(_names_under(leaves, "sources")):
        kind = leaves.get(f"sources.{name}.kind", _KINDS[-1])
        if kind not in _KINDS:
            says = f"unknown kind of source: {kind!r}"
            advice = f"one of: {', '.join(_KINDS)}"
            yield Fault("wrong-value", f"sources.{name}.kind", says, advice)
        if kind == "published":
            yield from _unread(leaves, f"sources.{name}")


def _unread(leaves: Leaves, table: str) -> Iterator[Fault]:
    for key in (f"{table}.{need}" for need in _PUBLISHED_NEEDS):
        if key not in leaves:
            advice = "a published source names author, title, year and the day it was read"
            yield Fault("missing-item", key, f"missing: {key}", advice)
    if f"{table}.year" not in leaves and f"{table}.note" not in leaves:
        advice = "add the year, or a note that the page is undated"
        yield Fault("missing-item", f"{table}.year", f"missing: {table}.year", advice)


def _clocks_named(leaves: Leaves) -> Iterator[Fault]:
    known = _names_under(leaves, "clocks")
    for key, leaf in leaves.items():
        if key.startswith("caps.") and ".counts." in key and leaf not in known:
            yield _unknown_name("unknown-clock", key, leaf, "clocks", known)


def _limits(leaves: Leaves) -> Iterator[Fault]:
    """Yield what would leave vials without a limit or a band."""
    starts = {leaf for key, leaf in leaves.items() if _last(key) == "starts_on"}
    for start, when in _NEEDED_STARTS.items():
        if start not in starts:
            says = f"missing: a clock that starts on {start}; vials would have no limit {when}"
            yield Fault("missing-item", "clocks", says, f'add one with starts_on = "{start}"')
    for band, place in _NEEDED_BANDS.items():
        if f"{band}.item" not in leaves and f"{band}.low_c" not in leaves:
            says = f"missing: [{band}]; nobody could say when {place} is too warm or too cold"
            yield Fault("missing-item", band, says, "add the band, with its source")


def _pauses(leaves: Leaves) -> Iterator[Fault]:
    """Yield clocks that would pause where none pauses, or run on where table time pauses."""
    for key, leaf in leaves.items():
        table, _, last = key.rpartition(".")
        if last != "starts_on":
            continue
        on_table = leaf == "to-table"
        if on_table and f"{table}.stops_on" not in leaves:
            says = f"missing: {table}.stops_on; table time pauses in the refrigerator"
            yield Fault("missing-item", f"{table}.stops_on", says, 'add stops_on = "to-fridge"')
        for pausing in () if on_table else ("stops_on", "after_open"):
            if f"{table}.{pausing}" in leaves:
                says = f"{table}.{pausing}: a clock that starts on {leaf} never pauses"
                yield Fault("wrong-value", f"{table}.{pausing}", says, "take the key out")


def _bands_named(leaves: Leaves) -> Iterator[Fault]:
    known = _names_under(leaves, "bands")
    for key, leaf in leaves.items():
        if _last(key) == "band" and leaf not in known:
            yield _unknown_name("unknown-key", key, leaf, "bands", known)


def _unknown_name(code: str, key: str, leaf: Leaf, table: str, known: set[str]) -> Fault:
    says = f"{key} names {leaf!r}, which [{table}] does not have"
    return Fault(code, key, says, f"known here: {', '.join(sorted(known)) or 'none'}")


def _items(leaves: Leaves) -> Iterator[Fault]:
    items = {key: leaf for key, leaf in leaves.items() if _last(key) == "item"}
    counts = Counter(items.values())
    for key, leaf in items.items():
        if not (isinstance(leaf, str) and leaf[:1].isupper() and leaf[1:].isdigit()):
            says = f"{key} = {leaf!r} is not a letter and a number"
            yield Fault("missing-item", key, says, _ITEM_ADVICE)
        elif counts[leaf] > 1:
            says = f"item {leaf} is used {counts[leaf]} times, here by {key}"
            yield Fault("missing-item", key, says, _ITEM_ADVICE)


def _texts(leaves: Leaves, named: Set[str]) -> Iterator[Fault]:
    for key, leaf in leaves.items():
        if not is_text(key):
            continue
        filled_later = RUNTIME if key.startswith("labels.") else frozenset()
        for name in placeholders(str(leaf)):
            if not _own(key, name, named) and name not in named | filled_later:
                says = f"{key} has the placeholder {{{name}}}, which names no figure"
                yield Fault(
                    "unknown-key", key, says, "name a figure, as in {clocks.open.allows}"
                )


def _own(key: str, name: str, named: Set[str]) -> bool:
    """Say whether a question names a figure of its own table, as in {wait}."""
    table = ".".join(key.split(".", 2)[:2])
    return key.startswith(f"{TABLE}.") and f"{table}.{name}" in named


def _subjects(leaves: Leaves) -> Iterator[Fault]:
    tables = {table for key in leaves for table in _tables_around(key)}
    for key, leaf in leaves.items():
        if ".about." in key and leaf not in tables:
            says = f"{key} names {leaf!r}, which is no table of the file"
            yield Fault("unknown-key", key, says, "name a table, as in clocks.open")


def _tables_around(key: str) -> list[str]:
    parts = key.split(".")
    return [".".join(parts[:depth]) for depth in range(1, len(parts))]


_CHECKS: tuple[Callable[[Leaves], Iterator[Fault]], ...] = (
    _heading,
    _sources,
    _source_tables,
    _clocks_named,
    _pauses,
    _bands_named,
    _items,
    _subjects,
    impossible_amounts,
    unaskable,
)
