"""
The vials as they stand, kept for the pages of the next seconds: the same answer, asked once.

It is kept while the ledger's newest entry is the same, within one minute of the clock, and
never past a moment at which a clock of a vial ends or a vial is ready. Acts never ask here.
"""

from collections.abc import Callable, Hashable, Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from threading import Lock
from typing import Any, TypeVar

from thawline.app.standings import Stood
from thawline.base.instants import Instant
from thawline.ledger.entries import Head
from thawline.vial.reckon import State

T = TypeVar("T")
_MINUTE_S = 60


@dataclass(frozen=True, slots=True)
class _Kept:
    key: tuple[object, ...]
    at: Instant
    until: Instant | None
    stands: tuple[Stood, ...]

    def counts(self, key: tuple[object, ...], at: Instant) -> bool:
        return self.key == key and self.at <= at and (self.until is None or at < self.until)


_lock = Lock()
_newest: list[_Kept] = []
_done: list[Any] = [None, {}]
_of_minute: dict[str, tuple[tuple[object, ...], Instant, Any]] = {}


def not_done(
    versions: object, ask: Callable[[Mapping[str, Stood]], Iterable[Stood]]
) -> tuple[Stood, ...]:
    """Return the vials as they stand, with those that are discarded reckoned once only."""
    with _lock:
        done = dict(_done[1]) if _done[0] == versions else {}
    stands = tuple(ask(done))
    gone = {each.code: each for each in stands if each.reckoning.state is State.DISCARDED}
    with _lock:
        _done[:] = [versions, gone]
    return stands


def kept(head: Head, at: Instant, ask: Callable[[], Sequence[Stood]]) -> tuple[Stood, ...]:
    """Return the vials as they stand: what was asked a moment ago, where that counts."""
    key = (head, int(at.timestamp() // _MINUTE_S))
    with _lock:
        found = next((each for each in _newest if each.counts(key, at)), None)
    if found is not None:
        return found.stands
    stands = tuple(ask())
    until = min((then for each in stands for then in _changes(each) if then > at), default=None)
    with _lock:
        _newest[:] = [_Kept(key, at, until, stands)]
    return stands


def kept_a_minute(name: str, about: Hashable, at: Instant, ask: Callable[[], T]) -> T:
    """Return what is shown to the minute: what was asked in this minute about the same."""
    key = (about, int(at.timestamp() // _MINUTE_S))
    with _lock:
        found = _of_minute.get(name)
    if found is not None and found[0] == key and found[1] <= at:
        value: T = found[2]
        return value
    fresh = ask()
    with _lock:
        _of_minute[name] = (key, at, fresh)
    return fresh


def _changes(each: Stood) -> Iterator[Instant]:
    """Yield the moments at which a vial stands differently, though nobody does anything."""
    now = each.reckoning
    yield from (then for then in (now.use_by, now.ready_at) if then is not None)
    yield from (clock.ends for clock in now.clocks if clock.ends is not None)
