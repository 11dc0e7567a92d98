"""
The ledger as things stood at an earlier moment: what happened later is left out.

What happened before and was typed later is in it. The site's own protocols are as they are
known now; which of them was in force then is asked of the rules.
"""

from collections.abc import Iterator, Sequence
from typing import Any, TypeVar

from thawline.app.asked_on import AskedView
from thawline.base.instants import Instant
from thawline.ledger.entries import Entry, Fold, View
from thawline.ledger.folding import keys_of

S = TypeVar("S")


class Until(AskedView):
    """A view with the states of some folds made anew, from what happened until a moment."""

    def __init__(self, view: View, at: Instant, folds: Sequence[Fold[Any]]) -> None:
        super().__init__(view)
        self._at = at
        self._states: dict[str, dict[str, Any]] = {fold.name: {} for fold in folds}
        for entry in self.counting():
            for fold in folds:
                states = self._states[fold.name]
                for key in keys_of(fold, entry):
                    states[key] = fold.step(key, states.get(key), entry)

    def one(self, fold: Fold[S], key: str) -> S | None:
        """Return the state of one thing, as it stood."""
        if fold.name not in self._states:
            return super().one(fold, key)
        state: S | None = self._states[fold.name].get(key)
        return state

    def all(self, fold: Fold[S]) -> Iterator[tuple[str, S]]:
        """Yield every thing of a kind with its state, as it stood, by key."""
        if fold.name not in self._states:
            yield from super().all(fold)
            return
        yield from sorted(self._states[fold.name].items(), key=lambda each: each[0])

    def history(self, fold: Fold[S], key: str) -> list[Entry]:
        """Return the entries that touched one thing until then, as written."""
        return [each for each in super().history(fold, key) if self._was(each)]

    def entries(self, *, since: int = 0, most: int | None = None) -> Iterator[Entry]:
        """Yield the entries of what happened until then, as written."""
        return filter(self._was, super().entries(since=since, most=most))

    def counting(self) -> Iterator[Entry]:
        """Yield the entries of what happened until then, as they count now."""
        return filter(self._was, super().counting())

    def _was(self, entry: Entry) -> bool:
        return entry.occurred.hi <= self._at


def until(view: View, at: Instant, folds: Sequence[Fold[Any]]) -> View:
    """Return the view itself where nothing was recorded later, else as things stood."""
    newest = list(view.entries(since=max(0, view.head.seq - 1)))
    if not newest or newest[-1].recorded_at <= at:
        return view
    return Until(view, at, folds)
