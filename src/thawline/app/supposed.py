"""The ledger as it would stand if one entry counted as something else; nothing is written."""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from functools import partial
from typing import Any, TypeVar
from uuid import UUID

from thawline.app.asked_on import AskedView
from thawline.base.errors import NotFoundError, RecordError
from thawline.ledger.corrections import Correction, counted, standing
from thawline.ledger.entries import Entry, Fold, View
from thawline.ledger.events import Corrected
from thawline.ledger.folding import keys_of

S = TypeVar("S")


class Supposed(AskedView):
    """A view with the states of some things put in place of those that are kept."""

    def __init__(self, view: View, states: Mapping[tuple[str, str], Any]) -> None:
        super().__init__(view)
        self._states = states

    def one(self, fold: Fold[S], key: str) -> S | None:
        """Return the state of one thing, as supposed."""
        if (fold.name, key) in self._states:
            state: S | None = self._states[fold.name, key]
            return state
        return super().one(fold, key)

    def all(self, fold: Fold[S]) -> Iterator[tuple[str, S]]:
        """Yield every thing of a kind with its state, as supposed."""
        for key, _ in super().all(fold):
            if (state := self.one(fold, key)) is not None:
                yield key, state


def entry_at(view: View, seq: int) -> Entry:
    """Return the entry of that number, as written; NotFoundError if there is none."""
    if 1 <= seq <= view.head.seq:
        return next(iter(view.entries(since=seq - 1, most=1)))
    raise NotFoundError(f"no entry {seq} here", advice="thawline journal list")


def counts_as(view: View, entry: Entry) -> Entry | None:
    """Return what an entry that was read as written counts as now, None for nothing."""
    if entry.corrected_by is None:
        return entry
    made = counts_as(view, entry_at(view, entry.corrected_by))
    if made is None or not isinstance(made.event, Corrected):
        raise RecordError(f"entry {entry.corrected_by} corrects nothing any more")
    return counted(entry, {entry.seq: Correction(made.seq, made.event)})


Changed = Mapping[int, tuple[Entry | None, Entry | None]]
"""What entries count as now and would count as then, by the number of the entry."""


@dataclass(frozen=True, slots=True)
class Supposition:
    """What one more correction would do: the view then, and the entries and keys it changes."""

    view: Supposed
    keys: frozenset[str]
    changed: Changed


def supposing(view: View, correction: Corrected, fold: Fold[Any]) -> Supposition:
    """Return how the things of one fold would stand with one more correction of an entry."""
    changed = _changed(view, correction)
    keys = frozenset(
        key for pair in changed.values() for entry in pair for key in keys_of(fold, entry)
    )
    states = {(fold.name, key): _refolded(view, fold, key, changed) for key in keys}
    return Supposition(Supposed(view, states), keys, changed)


def _changed(view: View, correction: Corrected) -> Changed:
    target = _seq_of(view, correction.target)
    if target is None:
        raise RecordError(f"no entry to correct: {correction.target!r}")
    made = [
        Correction(entry.seq, entry.event)
        for entry in view.entries(since=target)
        if isinstance(entry.event, Corrected)
    ]
    before = standing(made, partial(_seq_of, view))
    one_more = Correction(view.head.seq + 1, correction)
    after = standing([*made, one_more], partial(_seq_of, view))
    written = {
        seq: entry_at(view, seq)
        for seq in {**before, **after}
        if before.get(seq) != after.get(seq)
    }
    return {seq: (counts_as(view, e), counted(e, after)) for seq, e in written.items()}


def _seq_of(view: View, entry_id: str) -> int | None:
    entry = view.entry(UUID(entry_id))
    return None if entry is None else entry.seq


def _refolded(view: View, fold: Fold[Any], key: str, changed: Changed) -> Any:
    others = [each for each in view.history(fold, key) if each.seq not in changed]
    counting = [counts_as(view, each) for each in others]
    counting += [then for _, then in changed.values()]
    state = None
    for entry in sorted((each for each in counting if each), key=lambda each: each.seq):
        if key in keys_of(fold, entry):
            state = fold.step(key, state, entry)
    return state
