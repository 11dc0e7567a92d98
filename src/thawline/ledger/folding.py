"""
What the entries add up to: every fold's states, and which entries touched which thing.

An entry that was corrected is folded as it counts now, at its own place in the sequence.
"""

from array import array
from collections import defaultdict
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field
from functools import cache
from typing import Any

from thawline.ledger.chain import Row
from thawline.ledger.corrections import Standing, counted
from thawline.ledger.entries import Entry, Fold
from thawline.ledger.events import Corrected, Event, Refused
from thawline.ledger.kinds import EVENTS
from thawline.ledger.stored import entry_of, event_of, header_of, kind_of, told_entry

Folds = Sequence[Fold[Any]]
_SPEAK_OF_OTHERS = frozenset({Corrected, Refused})


@dataclass(frozen=True, slots=True)
class Folded:
    """
    One fold's states by key, and the numbers of the entries that touched each key.

    A number is negative where the entry as written touched the key but does not count there
    any more.
    """

    states: dict[str, Any] = field(default_factory=dict)
    touched: dict[str, "array[int]"] = field(default_factory=lambda: defaultdict(_no_numbers))


Pair = tuple[Fold[Any], Folded]
"""A fold and what it adds up to so far."""


def _no_numbers() -> "array[int]":
    return array("q")


def fold_all(folds: Folds, rows: Iterable[Row], corrections: Standing) -> dict[str, Folded]:
    """Return what the entries, oldest first, add up to, by the fold's name."""
    folded = {fold.name: Folded() for fold in folds}
    pairs = [(fold, folded[fold.name]) for fold in folds]
    touched_by = _by_kind(pairs)
    for row in rows:
        if row.seq in corrections:
            written = entry_of(row)
            for fold, into in pairs:
                take_in(fold, into, written, counted(written, corrections))
        else:
            _take_in_all(touched_by, row)
    return folded


def _by_kind(pairs: Sequence[Pair]) -> Mapping[str, Sequence[Pair]]:
    """Return the folds that an event can touch, by the event's name; of every known event."""
    told = {name: kind for name, kind in EVENTS.items() if kind not in _SPEAK_OF_OTHERS}
    return dict.fromkeys(EVENTS, ()) | {
        name: tuple(pair for pair in pairs if kind in pair[0].kinds)
        for name, kind in told.items()
    }


def _take_in_all(touched_by: Mapping[str, Sequence[Pair]], row: Row) -> None:
    """Add an entry that counts as written; read whole only where something may be touched."""
    kind = kind_of(row)
    pairs = touched_by.get(kind)
    if not pairs and pairs is not None:
        return
    event = event_of(kind, row.body)  # an unknown event ends here
    entry = None
    for fold, into in pairs or ():
        for key in fold.keys(event):
            entry = entry or told_entry(row, header_of(row), event)
            into.states[key] = fold.step(key, into.states.get(key), entry)
            into.touched[key].append(row.seq)


def take_in(fold: Fold[Any], into: Folded, written: Entry, counts_as: Entry | None) -> None:
    """Add an entry to what was folded before it; `counts_as` is None if it does not count."""
    keys: tuple[str, ...] = ()
    if counts_as is not None:
        keys = keys_of(fold, counts_as)
        for key in keys:
            into.states[key] = fold.step(key, into.states.get(key), counts_as)
            into.touched[key].append(written.seq)
    if counts_as is not written:
        for key in set(keys_of(fold, written)).difference(keys):
            into.touched[key].append(-written.seq)


def keys_of(fold: Fold[Any], entry: Entry | None) -> tuple[str, ...]:
    """Return what an entry touches; one that does not count, or speaks of others, nothing."""
    if entry is None or type(entry.event) in _SPEAK_OF_OTHERS:
        return ()
    kinds = _kinds(fold)  # type: ignore[arg-type]  # told apart by identity
    return fold.keys(entry.event) if type(entry.event) in kinds else ()


@cache
def _kinds(fold: Any) -> frozenset[type[Event]]:
    """Return a fold's kinds of event; they never change."""
    kinds: frozenset[type[Event]] = fold.kinds
    return kinds


def touches(fold: Fold[Any], written: Entry, counts_as: Entry | None) -> Mapping[str, bool]:
    """Return what an entry touches, as written or as it counts, and whether it counts there."""
    counting = dict.fromkeys(keys_of(fold, counts_as), True)
    return dict.fromkeys(keys_of(fold, written), False) | counting
