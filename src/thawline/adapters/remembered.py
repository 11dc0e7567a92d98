"""
A ledger whose states are kept in memory between views, so that a page reads only what is new.

What was read at one head is right at a later one but for the things that the entries between
them touch, and these are read again. A correction touches things far back: everything is read
again after one. Acts are decided on the ledger itself, never on what is remembered here.
"""

from collections.abc import Iterable, Iterator
from contextlib import AbstractContextManager, contextmanager
from dataclasses import dataclass
from threading import Lock
from typing import Any, TypeVar

from thawline.app.asked_on import AskedView
from thawline.app.ports import Ledger
from thawline.ledger.entries import Act, Decide, Entry, Fold, Head, Receipt, View
from thawline.ledger.events import Corrected, EpochBegan
from thawline.ledger.folding import keys_of

S = TypeVar("S")
MOST_NEW = 500
"""Of more new entries than these, everything is read again; a choice of ours."""
_AFRESH = (Corrected, EpochBegan)
MOST_ENTRIES = 50_000
"""Of a longer ledger the entries are read each time, not kept in memory; a choice of ours."""


@dataclass(frozen=True, slots=True)
class _Counted:
    """The entries as they count at a head, oldest first; never changed, only replaced."""

    head: Head
    entries: tuple[Entry, ...]


@dataclass(frozen=True, slots=True)
class _Recent:
    """The newest entries up to a head, all after the number `since`; no correction is in it."""

    since: int
    head: Head
    entries: tuple[Entry, ...]

    def holds(self, since: Head, head: Head) -> bool:
        """Say whether it has all entries between two heads."""
        return (
            self.head.epoch == head.epoch
            and self.since <= since.seq
            and head.seq <= self.head.seq
        )

    def between(self, since: Head, head: Head) -> list[Entry]:
        """Return the entries after one head up to another."""
        return [each for each in self.entries if since.seq < each.seq <= head.seq]


@dataclass(frozen=True, slots=True)
class _Kept:
    """All states of one fold, and the head they were read at; never changed, only replaced."""

    head: Head
    states: dict[str, Any]


class RememberingLedger:
    """A port like the ledger it asks."""

    def __init__(self, ledger: Ledger) -> None:
        self._ledger = ledger
        self._lock = Lock()
        self._kept: dict[str, _Kept] = {}
        self._counted: _Counted | None = None
        self._recent: _Recent | None = None

    def view(self) -> AbstractContextManager[View]:
        """Return a consistent view; it sees nothing written later."""
        return self._view()

    @contextmanager
    def _view(self) -> Iterator[View]:
        with self._ledger.view() as view:
            yield _RememberingView(view, self)

    def record(self, act: Act, decide: Decide) -> Receipt:
        """Decide and write, on the ledger as it stands."""
        return self._ledger.record(act, decide)

    def states(self, view: View, fold: Fold[Any], head: Head) -> dict[str, Any]:
        """Return every state of a fold at a view's head."""
        with self._lock:
            kept = self._kept.get(fold.name)
        if kept is not None and kept.head == head:
            return kept.states
        if kept is not None and kept.head.seq > head.seq:
            return dict(view.all(fold))  # somebody asked about a later moment meanwhile
        new = None if kept is None else self._new(view, kept.head, head)
        fresh = _Kept(head, _brought_on(view, fold, kept, new))
        with self._lock:
            newest = self._kept.get(fold.name)
            if newest is None or newest.head.seq <= head.seq:
                self._kept[fold.name] = fresh
        return fresh.states

    def counting(self, view: View, head: Head) -> Iterable[Entry]:
        """Return every entry as it counts at a view's head, oldest first."""
        with self._lock:
            kept = self._counted
        if kept is not None and kept.head == head:
            return kept.entries
        if head.seq > MOST_ENTRIES or (kept is not None and kept.head.seq > head.seq):
            return view.counting()
        new = None if kept is None else self._new(view, kept.head, head)
        fresh = _Counted(head, _counted_on(view, kept, new))
        with self._lock:
            newest = self._counted
            if newest is None or newest.head.seq <= head.seq:
                self._counted = fresh
        return fresh.entries

    def _new(self, view: View, since: Head, head: Head) -> list[Entry] | None:
        """Return the entries after a head; None where everything has to be read again."""
        if since.epoch != head.epoch:
            return None
        with self._lock:
            recent = self._recent
        if recent is None or not recent.holds(since, head):
            read = tuple(view.entries(since=since.seq, most=MOST_NEW + 1))
            if len(read) > MOST_NEW or any(isinstance(each.event, _AFRESH) for each in read):
                return None
            recent = _Recent(since.seq, head, read)
            with self._lock:
                self._recent = recent
        return recent.between(since, head)


def _counted_on(
    view: View, kept: _Counted | None, new: list[Entry] | None
) -> tuple[Entry, ...]:
    """Return the entries that count: those that were kept, with the new ones after them."""
    if kept is None or new is None:
        return tuple(view.counting())
    return (*kept.entries, *new)


def _brought_on(
    view: View, fold: Fold[Any], kept: _Kept | None, new: list[Entry] | None
) -> dict[str, Any]:
    """Return what was kept with what the entries since then touch; or all, read again."""
    if kept is None or new is None:
        return dict(view.all(fold))
    touched = {key for entry in new for key in keys_of(fold, entry)}
    if not touched:
        return kept.states
    states = {**kept.states, **{key: view.one(fold, key) for key in touched}}
    if touched <= kept.states.keys() and all(states[key] is not None for key in touched):
        return states  # in the order in which they were
    return {key: states[key] for key in sorted(states) if states[key] is not None}


class _RememberingView(AskedView):
    """A view that asks the ledger once for each kind of thing, and remembers the answer."""

    def __init__(self, view: View, ledger: RememberingLedger) -> None:
        super().__init__(view)
        self._ledger, self._head = ledger, view.head
        self._states: dict[str, dict[str, Any]] = {}

    @property
    def head(self) -> Head:
        """Return the newest entry's place."""
        return self._head

    def one(self, fold: Fold[S], key: str) -> S | None:
        """Return the state of one thing, None if nothing ever touched it."""
        known = self._states.get(fold.name)
        if known is None:
            return super().one(fold, key)
        state: S | None = known.get(key)
        return state

    def all(self, fold: Fold[S]) -> Iterator[tuple[str, S]]:
        """Yield every thing of a kind with its state, by key."""
        if fold.name not in self._states:
            self._states[fold.name] = self._ledger.states(self._view, fold, self._head)
        return iter(self._states[fold.name].items())

    def counting(self) -> Iterator[Entry]:
        """Yield entries as they count now, oldest first, without those that do not count."""
        return iter(self._ledger.counting(self._view, self._head))
