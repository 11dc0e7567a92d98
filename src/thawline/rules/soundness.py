"""
Whether a rule file hangs together: its sources, clocks, items and lengths of time.

Only what makes a file unusable whatever its figures are; whether a figure is the right one is
asked in `rules.audit`.
"""

from collections import Counter
from collections.abc import Iterator, Mapping
from dataclasses import replace
from datetime import timedelta

from thawline.base.durations import Allowance
from thawline.rules.faults import Fault
from thawline.rules.shape import Leaf
from thawline.rules.text import Text

_ITEM_ADVICE = "give each figure its own short code, as in C4"
_PUBLISHED_NEEDS = ("author", "title", "year", "read_on")
_KINDS = ("published", "common practice", "from memory", "invented for the demo")


def unsound(leaves: Mapping[str, Leaf], text: Text) -> list[Fault]:
    """Return what does not hang together among the leaves of a file, by line."""
    found = [
        *_sources(leaves),
        *_source_tables(leaves),
        *_caps(leaves, text),
        *_clocks(leaves),
        *_lengths(leaves),
        *_items(leaves),
        *_heading(leaves),
    ]
    placed = [replace(fault, line=text.line(fault.key)) for fault in found]
    return sorted(placed, key=lambda fault: fault.line or 0)


def _last(key: str) -> str:
    return key.rpartition(".")[2]


def _names_under(leaves: Mapping[str, Leaf], table: str) -> set[str]:
    depth = table.count(".") + 1
    return {key.split(".")[depth] for key in leaves if key.startswith(f"{table}.")}


def _sources(leaves: Mapping[str, Leaf]) -> Iterator[Fault]:
    known = _names_under(leaves, "sources")
    for key, leaf in leaves.items():
        if _last(key) == "source" and leaf not in known:
            yield Fault(
                "missing-source",
                key,
                f"{key} names {leaf!r}, which [sources] does not have",
                f"add [sources.{leaf}] with its kind",
            )


def _source_tables(leaves: Mapping[str, Leaf]) -> Iterator[Fault]:
    for name in sorted(_names_under(leaves, "sources")):
        table = f"sources.{name}"
        kind = leaves.get(f"{table}.kind")
        if kind is not None and kind not in _KINDS:
            advice = f"one of: {', '.join(_KINDS)}"
            yield Fault(
                "wrong-type", f"{table}.kind", f"unknown kind of source: {kind!r}", advice
            )
        if kind == "published":
            yield from _unread(leaves, table)


def _unread(leaves: Mapping[str, Leaf], table: str) -> Iterator[Fault]:
    for need in _PUBLISHED_NEEDS:
        if f"{table}.{need}" not in leaves:
            yield Fault(
                "missing-item",
                f"{table}.{need}",
                f"missing: {table}.{need}",
                "a published source names author, title, year and the day it was read",
            )


def _caps(leaves: Mapping[str, Leaf], text: Text) -> Iterator[Fault]:
    clocks = text.tree.get("clocks")
    known = set(clocks) if isinstance(clocks, Mapping) else set()
    for key, leaf in leaves.items():
        parts = key.split(".")
        if parts[0] == "caps" and parts[2] == "counts" and leaf not in known:
            yield Fault(
                "unknown-clock",
                key,
                f"{'.'.join(parts[:3])} names clock {leaf!r}, which [clocks] does not have",
                f"known clocks: {', '.join(sorted(known)) or 'none'}",
            )


def _clocks(leaves: Mapping[str, Leaf]) -> Iterator[Fault]:
    for key, leaf in leaves.items():
        table, _, last = key.rpartition(".")
        if last != "starts_on" or leaf != "to-table":
            continue
        allows = leaves.get(f"{table}.allows")
        if isinstance(allows, Allowance) and allows.days:
            yield Fault(
                "ambiguous-duration",
                f"{table}.allows",
                f"{table} starts on to-table and adds up over stays; it cannot count in days",
                "write it in hours, as in PT24H",
            )


def _lengths(leaves: Mapping[str, Leaf]) -> Iterator[Fault]:
    for key, leaf in leaves.items():
        may_be_none = _last(key) in {"grace_for_judging", "then_room"}
        if isinstance(leaf, Allowance) and not may_be_none and leaf.longest() <= timedelta(0):
            yield Fault(
                "wrong-type", key, f"{key} allows no time at all", "write a length above zero"
            )


def _items(leaves: Mapping[str, Leaf]) -> Iterator[Fault]:
    items = {key: leaf for key, leaf in leaves.items() if _last(key) == "item"}
    counts = Counter(items.values())
    for key, leaf in items.items():
        if not (isinstance(leaf, str) and leaf[:1].isalpha() and leaf[1:].isdigit()):
            says = f"{key} = {leaf!r} is not a letter and a number"
            yield Fault("missing-item", key, says, _ITEM_ADVICE)
        elif counts[leaf] > 1:
            says = f"item {leaf} is used {counts[leaf]} times, here by {key}"
            yield Fault("missing-item", key, says, _ITEM_ADVICE)


def _heading(leaves: Mapping[str, Leaf]) -> Iterator[Fault]:
    form = leaves.get("format", 1)
    if form != 1:
        yield Fault(
            "wrong-type", "format", f"format {form} is not known here", "write format = 1"
        )
    version = leaves.get("protocol.version", 1)
    if isinstance(version, int) and version < 1:
        says = f"protocol.version = {version}; versions count from 1"
        yield Fault("wrong-type", "protocol.version", says, "write 1 or more")
