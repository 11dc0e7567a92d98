"""
What pages show to the minute or second, asked once while what it is about is the same.

Who asks while somebody else is asking the same waits for that answer: two that add the same up
side by side on one processor make everybody wait twice as long. Meanwhile others work.
"""

from collections.abc import Callable, Hashable
from threading import Lock, RLock
from typing import Any, TypeVar

from thawline.base.instants import Instant
from thawline.web.turns import alone

T = TypeVar("T")
_MINUTE_S = 60


_lock = Lock()
_of_minute: dict[str, tuple[tuple[object, ...], Instant, Any]] = {}
_asking: dict[str, RLock] = {}
"""By name; what is asked for one name never waits for what is asked for the same."""


def kept_a_minute(name: str, about: Hashable, at: Instant, ask: Callable[[], T]) -> T:
    """Return what is shown to the minute: what was asked in this minute about the same."""
    return _kept(name, (about, int(at.timestamp() // _MINUTE_S)), at, ask)


def kept_a_second(name: str, about: Hashable, at: Instant, ask: Callable[[], T]) -> T:
    """Return what was asked in this second about the same."""
    return _kept(name, (about, int(at.timestamp())), at, ask)


def _kept(name: str, key: tuple[object, ...], at: Instant, ask: Callable[[], T]) -> T:
    with _lock:
        asking = _asking.setdefault(name, RLock())
    with alone(asking):
        found = _of_minute.get(name)
        if found is not None and found[0] == key and found[1] <= at:
            value: T = found[2]
            return value
        fresh = ask()
        _of_minute[name] = (key, at, fresh)
        return fresh
