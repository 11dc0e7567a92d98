"""
Turns: so many threads work at a time, and who waits for another's answer lets others work.

What all pages show is asked by one of them. Were the turns held by those who wait for it, then
acts and pages that need none of it would stand behind them, at each new second.
"""

from collections.abc import Iterator
from contextlib import contextmanager
from threading import BoundedSemaphore, local
from typing import Protocol


class _Own(local):
    """What the turn of this thread was taken from; None: it has none."""

    free: BoundedSemaphore | None = None


_own = _Own()


class Lock(Protocol):
    """A lock of `threading`; one that the same thread may take again, or not."""

    def acquire(self, *, blocking: bool = ...) -> bool:
        """Take it; without blocking, return whether it was free."""

    def release(self) -> None:
        """Give it back."""


class Turns:
    """So many at a time."""

    def __init__(self, at_once: int) -> None:
        self._free = BoundedSemaphore(at_once)

    @contextmanager
    def taken(self) -> Iterator[None]:
        """Work in a turn; waits for one."""
        with self._free:
            _own.free = self._free
            try:
                yield
            finally:
                _own.free = None


@contextmanager
def alone(lock: Lock) -> Iterator[None]:
    """Hold a lock; while somebody else has it, this thread's turn is another's."""
    while not lock.acquire(blocking=False):
        with _aside():
            lock.acquire()
            lock.release()  # its answer is there; who goes on must have a turn first
    try:
        yield
    finally:
        lock.release()


@contextmanager
def _aside() -> Iterator[None]:
    free = _own.free
    if free is None:
        yield
        return
    free.release()
    try:
        yield
    finally:
        free.acquire()
